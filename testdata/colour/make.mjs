// Reference values for package colour, by two general colour libraries. Run in
// a directory of its own:
//
//   npm install culori@4.0.2 colorjs.io@0.7.1
//   node make.mjs > reference.json
//
// Every number comes from a library; where both have the conversion both are
// written. Draws are from a fixed sequence so a second run gives the same file.
import { createRequire } from "node:module";
import { pathToFileURL } from "node:url";

const here = createRequire(process.cwd() + "/");
const culori = here("culori");
const root = here.resolve("colorjs.io").replace(/dist\/.*$/, "src/");
const js = (path) => import(pathToFileURL(root + path));
const { default: Color } = await js("index.js");
const { adapt } = await js("CATs.js");
const { WHITES } = await js("adapt.js");

// Park and Miller's minimal standard generator.
let state = 20260101;
const draw = (low, high) => {
	state = (state * 48271) % 2147483647;
	return low + ((high - low) * state) / 2147483647;
};

const lab65 = (l, a, b) => ({ mode: "lab65", l, a, b });
const channels = (c) => [c.r, c.g, c.b].map((x) => Math.round(255 * Math.min(1, Math.max(0, x))));

// sRGB to CIELAB, D65: corners, a grey ramp, some skin-like and random colours.
const hexes = ["#000000", "#ffffff", "#ff0000", "#00ff00", "#0000ff", "#00ffff", "#ff00ff", "#ffff00", "#010101", "#0a0a0a", "#404040", "#777777", "#c0c0c0", "#8d5524", "#c68642", "#e0ac69", "#f1c27d", "#ffdbac", "#3b2219"];
for (let i = 0; i < 40; i++) hexes.push("#" + [0, 0, 0].map(() => Math.floor(draw(0, 256)).toString(16).padStart(2, "0")).join(""));
const srgb = hexes.map((hex) => {
	const c = culori.converter("lab65")(hex);
	return { hex, culori: [c.l, c.a, c.b], colorjs: new Color(hex).to("lab-d65").coords };
});

// CIELAB from the ratios X/Xn, Y/Yn, Z/Zn, the dark straight part included.
const ratios = [];
for (let i = 0; i < 40; i++) {
	const scale = i % 4 === 0 ? 0.012 : 1.1;
	const ratio = [draw(0, scale), draw(0, scale), draw(0, scale)];
	const xyz = ratio.map((r, k) => r * WHITES.D50[k]);
	ratios.push({ ratio, lab: Color.Space.get("lab").fromBase(xyz) });
}

// CIELAB to LCh.
const lch = [];
for (let i = 0; i < 24; i++) {
	const c = lab65(draw(0, 100), draw(-90, 90), draw(-90, 90));
	const p = culori.converter("lch65")(c);
	lch.push({ lab: [c.l, c.a, c.b], lch: [p.l, p.c, p.h] });
}

// CIEDE2000: far pairs, near pairs, and pairs across the blue rotation.
const difference = culori.differenceCiede2000();
const de00 = [];
for (let i = 0; i < 150; i++) {
	const p = [draw(0, 100), draw(-80, 80), draw(-80, 80)];
	if (i % 3 === 2) [p[1], p[2]] = [draw(-5, 30), draw(-70, -20)];
	const q = i % 3 === 0 ? [draw(0, 100), draw(-80, 80), draw(-80, 80)] : p.map((x) => x + draw(-3, 3));
	const lab = (c) => new Color("lab", c);
	de00.push({ p, q, culori: difference(lab65(...p), lab65(...q)), colorjs: lab(p).deltaE(lab(q), "2000") });
}

// Linear Bradford adaptation between pairs of whites (Y = 1).
const bradford = [];
for (const [from, to] of [["D65", "D50"], ["D50", "D65"], ["A", "D65"], ["F11", "D65"], ["D65", "A"]]) {
	const whites = { ...WHITES, A: [1.0985, 1, 0.35585], F11: [1.00962, 1, 0.6435] };
	const m = adapt(whites[from], whites[to], "Bradford");
	for (let i = 0; i < 4; i++) {
		const xyz = [draw(0, 1), draw(0, 1), draw(0, 1)];
		bradford.push({ from: whites[from], to: whites[to], xyz, adapted: m.map((r) => r[0] * xyz[0] + r[1] * xyz[1] + r[2] * xyz[2]) });
	}
}

// CIELAB to an 8-bit screen. Outside the gamut chroma is reduced at constant
// lightness and hue, in CIELAB under D65.
const gamut = [];
for (let i = 0; i < 120; i++) {
	const chroma = i % 2 === 0 ? draw(0, 40) : draw(30, 130);
	const hue = draw(0, 2 * Math.PI);
	const c = lab65(draw(4, 97), chroma * Math.cos(hue), chroma * Math.sin(hue));
	const raw = culori.converter("rgb")(c);
	const out = Math.max(...[raw.r, raw.g, raw.b].flatMap((x) => [x - 1, -x])); // how far outside the cube
	const mapped = culori.converter("rgb")(culori.clampChroma(c, "lch65"));
	gamut.push({ lab: [c.l, c.a, c.b], linear: ((l) => [l.r, l.g, l.b])(culori.converter("lrgb")(c)), outside: out, rgb: channels(mapped) });
}

// CAT16, fully adapted, between the same whites.
const cat16 = [];
for (const { from, to } of bradford) {
	const m = adapt(from, to, "CAT16");
	const xyz = [draw(0, 1), draw(0, 1), draw(0, 1)];
	cat16.push({ from, to, xyz, adapted: m.map((r) => r[0] * xyz[0] + r[1] * xyz[1] + r[2] * xyz[2]) });
}

const lines = (rows) => "[\n" + rows.map((r) => "\t\t" + JSON.stringify(r)).join(",\n") + "\n\t]";
const all = { srgb, ratios, lch, de00, bradford, gamut, cat16 };
console.log("{\n" + [`\t"source": "culori 4.0.2 and colorjs.io 0.7.1, by make.mjs"`, ...Object.entries(all).map(([k, v]) => `\t"${k}": ${lines(v)}`)].join(",\n") + "\n}");
