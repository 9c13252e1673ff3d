(knob d16, brass bar 18, form tool r2 both sides, 12 wide)
t0101
s2500 m3
g0 x20 z.2
g1 x-.5 f.1
g0 z1
x16.4
g1 z-24 f.15
x19
g0 z1
x13
g1 z-3.9
x17
g0 z1
x10.2
g1 z-3.9
x17
g0 z1
x8
g1 z.2 f.1
z0
x-.5 f.05
g0 z1
x7
g1 z0 f.1
x10 z-1.5
z-4
x17
g0 x60 z40
m1
t0404
(form tool, left edge is zero, knob from -4 to -16)
s1200
g0 x22 z-16
x17
g1 x16 f.03
g4 u.5
g1 x17 f.2
g0 x60
z40
m1
t0606
(2 wide, left corner)
s1800
g0 x20 z-18
g1 x12 f.05
g0 x18
x12.2
g1 x6
x-.2 f.03
g0 x60 z40
m5
m30
