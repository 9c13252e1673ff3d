o1818
(x = radius)
(brass bar d50, length 34)
g21 g40 g90 g95
g0 x70 z90
t0101
g92 s2500
g96 s220 m3
g0 x27 z0 m8
g1 x-.4 f.12
g0 z1
x22.5
g1 z-38.5 f.2
x26
g0 z1
x20.5
g1 z-24.8
x23
g0 z1
x18.9
g1 z-24.2
x21
g0 z1
x17.4
g1 z-23
x19.5
g0 z1
x70 z90
t0303 (r.4)
g96 s260 m3
g0 z1
g42 x14
g1 z0 f.08
x15
g3 x17 z-2 r2
g1 z22
g2 x20 z-25 r3
g1 x21
g3 x22 z-26 r1
g1 z-38.5
x26
g0 g40 x70 z90 m9
t0505 (drill d12)
g97 s1400 m3
g0 x0 z3 m8
g1 z-15 f.12
g0 z3
z-14.5
g1 z-29
g0 z3
z-28.5
g1 z-43
g0 z90 m9
x70
t0707 (part-off 4mm, left corner)
g92 s1500
g96 s120 m3
g0 x26 z-38 m8
g1 x5.5 f.06
g0 x27 m9
x70 z90
m5
m30
