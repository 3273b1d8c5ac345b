#include "common.pml"
active proctype job() {
  make_safe();
  if
  :: outcome(); prove()
  :: outcome()
  fi;
  atomic { COUNT; NEED(proved) }            /* ease nuts */
}
