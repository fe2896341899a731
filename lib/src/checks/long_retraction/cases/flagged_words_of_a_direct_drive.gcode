; expect: long-retraction warning
; tells: 3.1 of 3 mm, count 1
; tells: a drive on the hot end seldom needs more than 2 mm
; set: machine.drive=direct
G21
G90
M140 S60
M104 S210
G28
M190 S60
M109 S210
M83
G1 Z0.2 F600
G1 X40 Y10 F6000
G1 X100 E2.04 F1200
G1 E-3.1 F1800
G0 X40 Y11 F6000
G1 E3.1 F1800
G1 X70 E1.02 F1200
G1 X100 E1.02
M104 S0
M140 S0
G0 Z30 F600
M84
