; M101 and M103 switch the extruder: how much it feeds is not in E
G21
G90
M83
M140 S60
M103
M104 S210
G28
M190 S60
M109 S210
M101
G0 Z0.3 F9000
; outer perimeter
G0 X33 Y40
G3 I-3 J0 E0.9066 F1800
; outer perimeter
G0 X49 F9000
G3 I-3 J0 E0.9066 F1800
G0 Z0.6 F9000
; outer perimeter
G0 X33
G3 I-3 J0 E0.9066 F1800
; outer perimeter
G0 X49 F9000
G3 I-3 J0 E0.9066 F1800
G0 Z0.9 F9000
; outer perimeter
G0 X33
G3 I-3 J0 E0.9066 F1800
; outer perimeter
G0 X49 F9000
G3 I-3 J0 E0.9066 F1800
G0 Z1.2 F9000
; outer perimeter
G0 X33
G3 I-3 J0 E0.9066 F1800
; outer perimeter
G0 X49 F9000
G3 I-3 J0 E0.9066 F1800
G0 Z1.5 F9000
; outer perimeter
G0 X33
G3 I-3 J0 E0.9066 F1800
; outer perimeter
G0 X49 F9000
G3 I-3 J0 E0.9066 F1800
G0 Z1.8 F9000
; outer perimeter
G0 X33
G3 I-3 J0 E0.9066 F1800
; outer perimeter
G0 X49 F9000
G3 I-3 J0 E0.9066 F1800
; skips: the file switches its extruder by M101 and M103
