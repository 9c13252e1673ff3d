%
o0910 (disco 3 ranuras, laton 80 x 18)
(x en radio)
g21 g40 g80 g99
g28 u0
g28 w0
t0101
g50 s2500
g96 s300 m3
g0 x43. z0 m8
g1 x-.8 f.15
g0 x36. z1.
g1 z0
x37.
g3 x39. z-2. r2. f.1
g1 z-9.
x41.
g28 u0
g28 w0
t0303 (broca 19)
g97 s800 m3
g0 x0 z4. m8
g74 r1.
g74 z-24. q6000 f.15
g28 w0
g28 u0
t0505
g96 s200 m3
g0 x12. z1. m8
g1 x10. z-1. f.1
z-17.5
g0 x9.2
z5.
g28 w0
g28 u0 m9
m5
m320
g28 h0
t0707 (fresa 8)
g97 s2500 m303
g98
g0 x25. z3. c0 m8
m98 p31010
g28 w0
g28 u0
t0909 (broca 5)
g97 s3000 m303
g0 x33.5 z4. c0 m8
g83 z-19. r-2. q3000 f240 m322
h45. k7
g80
g28 w0
g28 u0 m9
m305
m321
g99
m30
o1010
g1 z-5. f60
h40. f400
g0 z3.
h80.
m99
%
