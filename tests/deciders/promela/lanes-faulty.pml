#include "common.pml"
bit go;
active proctype job()    { isolate_inlet(); lock_inlet(); go = 1 }
active proctype first()  { go; vent(); shut_vent(); prove() }
active proctype second() { go; atomic { COUNT; NEED(relieved) } }
