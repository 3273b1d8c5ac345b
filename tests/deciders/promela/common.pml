/* Shared by the cases. Typed by hand from grammar/semantics.md for the checker spin; nothing here is generated.
   A path's length is n: one for each micro-step done, the failing one included, and one for each outcome or question.
   K asks "does the need under test hold on every path shorter than K": with K one more than the shortest length it
   does not. Each model asks one rule, so what that rule goes on with after a failure does not matter. */
byte n = 0;
bit set_inlet, locked_inlet, set_bypass, locked_bypass, relieved, proved, vent_open;

#define COUNT n = (n < 250 -> n + 1 : n)
#define NEED(c) assert((c) || n >= K)

inline isolate_inlet()  { atomic { COUNT; set_inlet = 1; relieved = 0; proved = 0 } }
inline lock_inlet()     { atomic { COUNT; locked_inlet = 1 } }
inline isolate_bypass() { atomic { COUNT; set_bypass = 1; relieved = 0; proved = 0 } }
inline lock_bypass()    { atomic { COUNT; locked_bypass = 1 } }
inline unlock_inlet()   { atomic { COUNT; locked_inlet = 0; proved = 0 } }
inline return_inlet()   { atomic { COUNT; set_inlet = 0; relieved = 0; proved = 0 } }
inline vent()           { atomic { COUNT; vent_open = 1; relieved = 1 } }
inline shut_vent()      { atomic { COUNT; vent_open = 0 } }
inline prove()          { atomic { COUNT; proved = 1 } }
inline other()          { atomic { COUNT } }
inline outcome()        { atomic { COUNT } }
inline make_safe()      { isolate_inlet(); lock_inlet(); vent(); shut_vent() }
