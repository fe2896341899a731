; expect: outside-build-volume error
; tells: 130 of 100 mm
; 130 by the program, 190 by the machine
; set: machine.build_x_mm=[0, 100]
; set: machine.build_y_mm=[0, 100]
; set: machine.build_z_mm=[0, 50]
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
G0 X60 F6000
G92 X0
G1 Z0.2 F600
G1 X20 Y20 F7200
G1 X130 E1 F1200
G1 Y50 E1
G1 X20 E1
G1 Y20 E1
M104 S0
M140 S0
G0 Z30 F600
M84
