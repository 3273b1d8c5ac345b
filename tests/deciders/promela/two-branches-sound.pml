#include "common.pml"
active proctype job() {
  make_safe();
  if
  :: outcome(); prove()
  :: outcome(); prove()
  fi;
  atomic { COUNT; NEED(proved) }            /* ease nuts */
}
