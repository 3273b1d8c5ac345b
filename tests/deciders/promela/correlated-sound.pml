#include "common.pml"
bit seated = 1, accepted;
active proctype job() {
  other();                                  /* remove plug */
  atomic { COUNT; seated = 0 };             /* remove seat unseats its ring */
  other();                                  /* check size on ring */
  if :: accepted = 1 :: accepted = 0 fi; outcome();
  if :: !accepted -> atomic { COUNT; seated = 1 } :: else fi;   /* renew ring */
  if :: accepted -> atomic { COUNT; seated = 1 } :: else fi;    /* fit ring */
  atomic { COUNT; NEED(seated) }            /* fit seat */
}
