#include "common.pml"
bit large;
active proctype job() {
  if :: large = 0 :: large = 1 fi;          /* each model is proved */
  isolate_inlet();
  if :: large -> isolate_bypass() :: else fi;
  lock_inlet();
  if :: large -> lock_bypass() :: else fi;
  vent(); shut_vent(); prove();
  atomic { COUNT; NEED(set_inlet && (!large || set_bypass)) }
}
