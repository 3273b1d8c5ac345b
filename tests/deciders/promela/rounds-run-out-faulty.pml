#include "common.pml"
byte round; bit good;
active proctype job() {
  make_safe();
  do
  :: round < 2 -> round++; other();
     if :: outcome(); proved = 1; good = 1 :: outcome(); good = 0 fi;
     if :: good -> break :: else fi
  :: round == 2 -> break
  od;
  atomic { COUNT; NEED(proved) }
}
