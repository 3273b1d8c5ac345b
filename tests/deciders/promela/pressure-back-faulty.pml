#include "common.pml"
active proctype job() {
  make_safe(); prove();
  other(); unlock_inlet(); return_inlet();
  isolate_inlet(); lock_inlet();
  atomic { COUNT; NEED(proved) }
}
