#include "common.pml"
byte round; bit good;
active proctype job() {
  make_safe();
  do
  :: round < 2 -> round++; other();         /* prove as proof: the effect of a pass comes with its outcome */
     if :: outcome(); proved = 1; good = 1 :: outcome(); good = 0 fi;
     if :: good -> break :: else fi
  :: round == 2 -> goto stop                /* otherwise: stop here */
  od;
  atomic { COUNT; NEED(proved) };
stop: skip
}
