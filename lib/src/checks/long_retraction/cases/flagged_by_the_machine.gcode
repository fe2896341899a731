; tells: 4 of 3 mm, count 1
; G10 of 4 mm on a drive that sits on the hot end
; set: machine.drive=direct
M207 S4
G21
G90
M83
M140 S60
M104 S210
G28
M190 S60
M109 S210
G1 Z0.2 F600
G1 X20 Y20 F6000
G1 E2 F300
G1 X80 E2.04 F1200
G10 ; expect: long-retraction warning
G0 X20 Y24 F6000
G11
G1 X80 E2.04 F1200
G1 E-1 F1800
M104 S0
M140 S0
G0 Z20 F600
M84
