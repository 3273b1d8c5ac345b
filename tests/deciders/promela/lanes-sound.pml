#include "common.pml"
bit first_done, second_done, go;
active proctype job() {
  isolate_inlet(); lock_inlet();
  go = 1;
  (first_done && second_done);
  atomic { COUNT; NEED(relieved) }
}
active proctype first()  { go; vent(); shut_vent(); prove(); first_done = 1 }
active proctype second() { go; other(); second_done = 1 }
