#include "common.pml"
byte round; bit good;
active proctype job() {
  make_safe(); prove();
  do
  :: round < 3 -> round++;
     atomic { COUNT; NEED(proved) };        /* remove cover */
     other();
     atomic { COUNT; proved = 0 };
     other();
     if :: outcome(); good = 1 :: outcome(); good = 0 fi;
     if :: good -> break :: else fi
  :: round == 3 -> break
  od
}
