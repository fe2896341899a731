; nobody stated of what: the density would be a guess, so this is skipped
; set: filament.spool_mass_g=0.4
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
G1 X120 E10 F600
M104 S0
M140 S0
G0 Z20 F600
M84
; skips: the mass on the spool is stated but not of what
