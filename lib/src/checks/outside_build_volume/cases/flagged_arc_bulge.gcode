; both ends of the arc are inside, its bulge is not
; expect: outside-build-volume error
; tells: 105 of 100 mm, count 1
; set: machine.build_x_mm=[0, 100]
G21
G90
M140 S60
M104 S210
G28
M190 S60
M109 S210
G92 E0
M83
G1 X95 Y40 Z0.2 F3000
G3 X95 Y60 I0 J10 E1.06 F1200
M104 S0
M140 S0
G91
G1 Z10 F600
G90
M84
