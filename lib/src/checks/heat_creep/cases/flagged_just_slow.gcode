; expect: heat-creep note
; tells: of 300 s, count 2
; four melt zones of 303 s each, 230 °C: 5 below the top of the range
; set: machine.melt_zone_mm=20
; set: machine.e_unit=mm
; set: filament.material=pla
M83
G28
M140 S60
M109 S230
G1 Z0.3 F600
G1 X10 Y10 F6000
G1 X110 E20 F19.8
G1 X10 E20 F19.8
G1 X110 E20 F19.8
G1 X10 E20 F19.8
M104 S0
G0 Z30 F600
M84
