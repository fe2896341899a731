; tells: 42 of 41.5 mm, count 1
; half a millimetre less: it runs out within the fourth bead
; set: filament.spool_length_mm=141.5
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
G0 X20 Y22 F6000
G1 X120 E10 F600
G0 X20 Y26 F6000
G1 X120 E10 F600
G0 X20 Y30 F6000
G1 X120 E10 F600
G0 X20 Y34 F6000
G1 X120 E10 F600 ; expect: short-spool error
M104 S0
M140 S0
G0 Z20 F600
M84
