; expect: unread-line note
; tells: 4 lines are no G-code: "sown in april here" at line 12, "grafted in may here" at line 13, "picked in june here" at line 14 and more
; four notes of the orchard without a semicolon
G21
G90
M83
M104 S210
G28
M109 S210
G1 Z0.2 F600
G1 X20 Y20 F6000
sown in april here
grafted in may here
picked in june here
pressed in july here
G1 X80 E2.04 F1200
G1 Y60 E1.36
M104 S0
M84
