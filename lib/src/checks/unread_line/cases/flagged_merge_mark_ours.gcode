; expect: unread-line warning
; tells: A mark that a merge of two versions left
G21
G90
M83
M104 S210
G28
M109 S210
G1 Z0.2 F600
G1 X20 Y20 F6000
<<<<<<< shed
G1 X80 E2.04 F1200
G1 Y60 E1.36
M104 S0
M84
