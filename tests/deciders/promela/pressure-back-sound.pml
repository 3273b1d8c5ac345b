#include "common.pml"
active proctype job() {
  make_safe(); prove();
  other(); unlock_inlet(); return_inlet();  /* clear area first */
  isolate_inlet(); lock_inlet(); vent(); shut_vent(); prove();
  atomic { COUNT; NEED(proved) }
}
