; expect: outside-build-volume error
; expect: outside-build-volume error
; tells: spans 100.4 mm in X, and there is room for 100 mm
; tells: --set machine.build_x_mm=[-0.2, 100]
; past both ends
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
G1 Z0.2 F600
G1 X-0.2 Y20 F7200
G1 X100.2 E1 F1200
G1 Y50 E1
G1 X-0.2 E1
G1 Y20 E1
M104 S0
M140 S0
G0 Z30 F600
M84
