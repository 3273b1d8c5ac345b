#include "common.pml"
bit seated = 1, accepted;
active proctype job() {
  other();
  atomic { COUNT; seated = 0 };
  other();
  if :: accepted = 1 :: accepted = 0 fi; outcome();
  if :: !accepted -> atomic { COUNT; seated = 1 } :: else fi;   /* renew ring */
  if :: !accepted -> atomic { COUNT; seated = 1 } :: else fi;   /* fit ring, on the wrong side */
  atomic { COUNT; NEED(seated) }
}
