#include "common.pml"
byte round; bit good;
active proctype job() {                     /* a vessel that fills again: closing it makes the proof stale */
  isolate_inlet(); lock_inlet();
  do
  :: round < 3 -> round++;
     vent(); shut_vent(); prove();
     atomic { COUNT; NEED(proved) };        /* remove cover */
     other();                               /* look into */
     atomic { COUNT; proved = 0 };          /* fit cover */
     other();                               /* check look on plug */
     if :: outcome(); good = 1 :: outcome(); good = 0 fi;
     if :: good -> break :: else fi
  :: round == 3 -> break
  od
}
