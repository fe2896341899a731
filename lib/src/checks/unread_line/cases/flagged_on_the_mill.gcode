; expect: unread-line note
; a groove in a sorting board
G21
G90
M3 S12000
G0 X10 Y10
G1 Z-1 F200
G1 X60 F600
G1 Y40
G1 X10
G1 Y10
G0 Z5
left over from the bench diary
M5
M30
