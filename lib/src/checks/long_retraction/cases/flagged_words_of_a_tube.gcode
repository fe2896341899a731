; expect: long-retraction warning
; tells: 8.1 of 8 mm, count 1
; tells: against strings lower the nozzle temperature
; set: machine.drive=bowden
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
G1 E-8.1 F1800
G0 X40 Y11 F6000
G1 E8.1 F1800
G1 X70 E1.02 F1200
G1 X100 E1.02
M104 S0
M140 S0
G0 Z30 F600
M84
