#include "common.pml"
bit large;
active proctype job() {
  if :: large = 0 :: large = 1 fi;
  isolate_inlet(); lock_inlet();
  vent(); shut_vent(); prove();
  atomic { COUNT; NEED(set_inlet && (!large || set_bypass)) }
}
