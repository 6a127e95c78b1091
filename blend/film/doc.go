// Package film says what a thin film of powders in a clear binder does to the
// colour of what lies under it, read in any geometry: two cones of diffuse light
// and a beam.
//
// A [Worn] blend goes in and its [Look] comes out ([Predict]); the rest is the
// engine it runs on.
//
// # From powder to reading
//
// A [Film] is made of how it lies ([Lay]): the binder's index n and the tilt of
// flakes and surface. It gives a [Reader] for each geometry and angle. A reader
// prepares every [Powder] once; after that a film of any areal masses m_i
// [mg/cm²] over a [Ground] is read in microseconds, with the derivatives by each
// mass:
//
//	f, _ := film.New(film.Lay{Index: 1.47, TiltDeg: 10})
//	r, _ := f.Reader(colour.At45)
//	ground, _ := f.Ground(colour.DI, &skinReadWithSphere)
//	gold := r.Prepare(&powder)
//	r.Read(&reflectance, slopes, &ground, []*film.Prepared{gold}, []float64{0.05})
//
// A base that absorbs or scatters is one more powder. To fit a powder's own μa
// and μs, take one of μa = 1 and one of μs = 1 as two powders: their masses are
// what is sought, and the slopes are there.
//
// # Two cones
//
// Light that can leave the binder travels within its escape cone, about 1.15
// thicknesses a pass; the rest 2.7, and is turned back whole at the surface. With
// μc = √(1 − 1/n²), cone 1 (μc < μ ≤ 1) and cone 2 (0 < μ ≤ μc) have
//
//	share of Lambertian light  σ1 = 1/n², σ2 = 1 − σ1     path    l1 = 2/(1+μc), l2 = 2/μc
//	width                      Δ1 = 1 − μc, Δ2 = μc       cosine  c1 = (1+μc)/2, c2 = μc/2
//
// Streams I_k go down and J_k up, z from 0 at the top to 1 at the ground:
//
//	dI/dz = −A I + B J + …        −dJ/dz = −A J + B I + …
//
// Grains (absorption μa, scattering μs, phase function p of Legendre moments
// χ_l) send light from cone j to k onward and back in shares
//
//	F_kj, B_kj = (1/Δ_j) ∫∫ ½ p(±μ, μ′) dμ dμ′ = (1/2Δ_j) Σ (2l+1) (±1)^l χ_l Λ_kl Λ_jl,
//	Λ_kl = ∫_cone k P_l dμ
//
// Every B and every F between cones is multiplied by
// d = [κ²(1−g)/3] / Σ_jk Δ_j c_j [(c_j−c_k) F_kj + (c_j+c_k) B_kj], κ = 3ΣΔc², and
// F_jj takes the rest: thick films then diffuse as they should, and no share is
// negative. Flakes of face area C per area return R and pass T, and have Gaussian
// slopes. Averaged over slopes and cone they meet light at the rate h_j =
// l_j⟨|d·m|⟩ and mirror shares U_kj of it back and V_kj onward into cone k, R and
// A = 1 − R − T taken at each local incidence. All of A and B is linear in the
// masses, and symmetric once streams are divided by √σ.
//
// # The beam
//
// Light from outside keeps its direction, c (cosine μ0 in the binder), until it
// is met; what flakes mirror of it first is the beam b, spread by their slopes:
//
//	 dc/dz = −e0 c            e0 = (s+μa)/μ0 + C0(1−T),    C0 = C⟨|d·m|⟩/μ0
//	−db/dz = −eb b + C0 R c   eb = (s+μa)⟨1/μ⟩ + C h_b(1−T)
//
// s = μs(1 − χ_2): the phase function's forward peak is cut off, and goes on with
// the beam. Both feed the streams, by the same phase function at μ0 and over the
// lobe (its part with μ > 0.05). Of b a share τ leaves at the surface, τc reaches
// it inside the escape cone; both are means over the slopes with |d·m| R as weight,
// and so C0 R τ and C0 R τc are linear in the masses as C0 R is:
//
//	top:     I_1 = r_d J_1 + (τc−τ) b,  I_2 = J_2 + (1−τc) b
//	ground:  J_k = R_g σ_k (I_1 + I_2 + c)
//	out, no gloss:      (1−F)[(1−r_d) J_1 + τ b]
//	radiance factor:    (1−F)(1−F_v)[J_1 + π b D/(n² μ_v) + X],   D = P(slopes)/(4⟨|d·m|⟩ m_z³)
//
// where b carries R at the view's own local incidence and X puts single
// scattering towards the view in place of the cone's mean of it.
//
// # Solving it
//
// With E = A + B, G = A − B, M = EG and g(M) = tanh(√M/2)/√M, the film split into
// its even and odd halves has admittances
//
//	W = G g(M)        Y = g(M) E
//	R = (1+W)⁻¹ − (1+Y)⁻¹        T = (1+W)⁻¹ + (1+Y)⁻¹ − 1
//
// Rather than the light, the reading's own sensitivity is followed (reciprocity):
// it enters at the top as z and at the ground as κ√σ, fills the film with fields
//
//	I+J = C p − E S′ q,  I−J = C′ q − G S p,    p = (1+W)⁻¹(z + κ√σ),  q = (1+Y)⁻¹(z − κ√σ)
//	C = cosh(√M ζ)/cosh(√M/2),  S = sinh(√M ζ)/(√M cosh(√M/2)),  ζ = z − ½
//
// (a prime transposes) and weighs the sources inside. Those fade as e^−ez, and
// against them
//
//	∫ e^−ez C dz = (1+e^−e) T(M, e²)      ∫ e^−ez S dz = −(1+e^−e) e D(M, e²)
//
// are divided differences of x g(x) and of −g(x) between M and e² (rational.go),
// computed as sums of positive terms. So equal exponents, a beam that fades as a
// stream does, nothing absorbed and nothing scattered are no special cases, and
// there is no pole. M obeys its own quadratic, so every function of it is two
// numbers (elem). Derivatives go back through the same steps in reverse, to every
// coefficient, and from there by the masses.
//
// # Geometries
//
// DI and DE by reciprocity from light at 8°; DI adds the surface's mirror, DE
// leaves out what of b leaves within 5° of it and, a trap being cut out of the
// white standard too, divides the rest of b by 1 − sin²5°. At45 is the radiance
// factor square on under light at 45°; Photo is light from all round, seen square
// on, without gloss. Skin's own surface (index 1.40) throws a share Haze of its
// reflection sideways into DE, At45 and the angles: a convention, 0.35 ± 0.2. A
// film whose surface tilts with its flakes is averaged over that surface's
// facets, weighted by the area they turn to light and eye, and throws its own
// gloss, never less than the skin's. No product at all is bare skin (Bare): the
// thinnest film already has the binder's surface, so in DI the reading steps from
// one to the other.
//
// # What it is held to
//
// Films traced photon by photon by an independent program (mc_test.go: errors of
// L* 0.02 to 0.3 on average, below 1.2 at worst, radiance factors 0.3 to 0.6,
// below 1.7 as the mean of four directions, below 4 in one and 2.4 at 45°); energy to 1e-12; thick films to the infinite one and layers to
// Kubelka's adding to rounding; derivatives to differences to 1e-7; Saunderson's
// correction exactly where the film is empty.
//
// # What it leaves out
//
// Flakes do not shade one another beyond chance, lie independently of height, and
// have no edges. The beam is followed to its first mirroring; light and eye
// exchanged differ by L* 0.4 on average, 3.4 at worst, for it. Scattering is as
// if each grain were alone; polarisation and the binder's own roughness are left
// out; a tilted surface neither shades itself nor lights itself again.
//
// # Sources
//
// P. Kubelka, J. Opt. Soc. Am. 38:448 (1948); J. L. Saunderson, J. Opt. Soc. Am.
// 32:727 (1942); the cut forward peak, W. J. Wiscombe, J. Atmos. Sci. 34:1408
// (1977); several streams, S. Chandrasekhar, Radiative Transfer (1950); single
// scattering set right, T. Nakajima and M. Tanaka, J. Quant. Spectrosc. Radiat.
// Transfer 40:51 (1988); the mirrored lobe, K. E. Torrance and E. M. Sparrow, J.
// Opt. Soc. Am. 57:1105 (1967).
package film
