%
o2700 (deckel, seite 1)
g71 g40 g80 g90 g95
n1 (plan + aussen)
g91 g28 x0 z0
g90
g92 s1600
t0101
g96 s220 m4
g0 x154. z4. m8
g74 w2. r.5
g74 p15 q16 u.6 w.15 f.3
n15 g0 g41 z-18.
g1 x102. f.15
x100. z-17.
z-2.
x96. z0
x-1.6
n16 g40 z2.
g92 s2000
g96 s260
g72 p15 q16
g91 g28 x0 z0 m9
g90 m1
n2 (bohren d20, m12 gewinde nicht hier)
g90 g95
t0303
g97 s800 m3
g0 x0 z3. m8
g76 r1.
g76 z-42. q10000 f.14
g0 z20.
g91 g28 x0 z0 m9
g90 m1
n3 (ausdrehen)
g90 g95
g92 s2500
t0505
g96 s180 m4
g0 x19. z2. m8
g73 u1.2 r.3
g73 p35 q36 u-.5 w.1 f.2
n35 g0 x46.
g1 z0 f.1
x42. z-2.
z-12.
x31.
x30. z-12.5
z-33.
n36 x19.
g92 s2800
g96 s220
g72 p35 q36
g0 z20.
g91 g28 x0 z0 m9
g90 m5
m30
%
