"""Makes the reference files for colour/reading with tools other than ours.

    /usr/bin/python3 make.py      (Debian: python3-pil, python3-numpy, liblcms2-2)

orientation-N.jpg   one scene stored the eight ways EXIF allows; made by
                    turning the upright picture with numpy, tagged by Pillow.
orientation.csv     what Pillow's own exif_transpose makes of them at four points.
wide-v4.jpg,        a photo and a PNG in an invented wide-gamut space, with
wide-v2.png         ICC profiles of versions 4 and 2 written by Little CMS.
srgb.jpg            the same with Little CMS's sRGB profile.
profile.csv         what Little CMS makes of a few stored colours.
scene.jpg,          a photo rendered in numpy: eighteen patches and four skins (invented)
scene.csv           under tinted, sloping light by a camera that mixes its channels, with
                    noise; libjpeg, quality 75, 4:2:0, stored on its side (tag 6). The
                    table gives each one's L*a*b* (D65/2) and place, the right way up.
lcms.cgats.txt      two tables written by Little CMS's CGATS writer.
lcms-read.csv       what Little CMS reads from ours.cgats.txt, which WriteCGATS made.

All colours are invented (demo).
"""
import csv, ctypes, math, os
import numpy as np
from PIL import Image, ImageCms, ImageOps

os.chdir(os.path.dirname(os.path.abspath(__file__)))
lcms = ctypes.CDLL("liblcms2.so.2")
for f in ("cmsIT8Alloc", "cmsIT8LoadFromFile", "cmsCreateRGBProfile", "cmsBuildGamma", "cmsBuildParametricToneCurve", "cmsMLUalloc"):
    getattr(lcms, f).restype = ctypes.c_void_p
lcms.cmsIT8GetData.restype = ctypes.c_char_p
vp, cp, ci = ctypes.c_void_p, ctypes.c_char_p, ctypes.c_int

# ---- orientation -----------------------------------------------------------
colours = [(200, 60, 40), (50, 160, 70), (60, 80, 190), (210, 180, 60)]
scene = np.zeros((48, 64, 3), np.uint8)
scene[:24, :32], scene[:24, 32:], scene[24:, :32], scene[24:, 32:] = colours
stored = {  # how the upright picture must be turned to be stored with tag N
    1: scene, 2: scene[:, ::-1], 3: scene[::-1, ::-1], 4: scene[::-1],
    5: scene.transpose(1, 0, 2), 6: np.rot90(scene, 1), 7: scene[::-1, ::-1].transpose(1, 0, 2), 8: np.rot90(scene, -1),
}
with open("orientation.csv", "w") as out:
    out.write("# source: Pillow ImageOps.exif_transpose\ntag,width,height,x,y,r,g,b\n")
    for tag, pixels in stored.items():
        exif = Image.Exif()
        exif[0x0112] = tag
        name = f"orientation-{tag}.jpg"
        Image.fromarray(np.ascontiguousarray(pixels)).save(name, quality=95, exif=exif)
        up = ImageOps.exif_transpose(Image.open(name)).convert("RGB")
        for x, y in ((16, 12), (48, 12), (16, 36), (48, 36)):
            r, g, b = up.getpixel((x, y))
            out.write(f"{tag},{up.width},{up.height},{x},{y},{r},{g},{b}\n")

# ---- a scene ---------------------------------------------------------------
WHITE = np.array([0.95047, 1.0, 1.08883])
XYZ_TO_RGB = np.linalg.inv(np.array([[0.4124564, 0.3575761, 0.1804375], [0.2126729, 0.7151522, 0.0721750], [0.0193339, 0.1191920, 0.9503041]]))

def linear(lab):
    L, a, b = lab
    fy = (L + 16) / 116
    f = np.array([fy + a / 500, fy, fy - b / 200])
    xyz = WHITE * np.where(f > 6 / 29, f ** 3, 3 * (6 / 29) ** 2 * (f - 4 / 29))
    return XYZ_TO_RGB @ xyz

w, h = 480, 340
patches = [(f"grey {L}", (L, 0, 0)) for L in (90, 74, 60, 46, 33, 23)]
for i in range(12):
    L, C, hue = (66, 30, 30 * i) if i % 2 else (46, 32, 30 * i)
    patches.append((f"hue {30*i}", (L, round(C * math.cos(math.radians(hue)), 2), round(C * math.sin(math.radians(hue)), 2))))
skins = [("skin very light", (71, 9, 15)), ("skin light", (64, 11, 15)), ("skin tan", (50, 14, 20)), ("skin brown", (38, 13, 17))]
rng = np.random.default_rng(20)
light = np.tile(linear((58, 2, 6)), (h, w, 1))
rows = []
for i, (name, lab) in enumerate(patches + skins):
    if i < 18:
        x, y, side = 20 + (i % 3) * 44 + (i // 9) * 300, 20 + (i // 3 % 3) * 100, 36
    else:
        x, y, side = 168 + (i - 18) % 2 * 76, 60 + (i - 18) // 2 * 130, 64
    light[y : y + side, x : x + side] = linear(lab)
    rows.append((name, *lab, x + 2, y + 2, side - 4, side - 4))
mix = np.array([[0.90, 0.07, 0.03], [0.05, 0.88, 0.07], [0.02, 0.10, 0.88]])
seen = (light @ mix.T) * np.array([0.92, 0.80, 0.62])
v, u = np.mgrid[0:h, 0:w]
seen *= np.exp(0.28 * (u - w / 2) / w - 0.15 * (v - h / 2) / w)[..., None]
seen += 0.02 * np.sqrt(0.18 * np.maximum(seen, 0) + 0.0004) * rng.standard_normal(seen.shape)
seen = np.clip(seen, 0, 1)
stored8 = np.round(255 * np.where(seen <= 0.0031308, 12.92 * seen, 1.055 * seen ** (1 / 2.4) - 0.055)).astype(np.uint8)
exif = Image.Exif()
exif[0x0112] = 6
Image.fromarray(np.ascontiguousarray(np.rot90(stored8, 1))).save("scene.jpg", quality=75, subsampling=2, exif=exif, optimize=True)
with open("scene.csv", "w") as out:
    out.write("# source: rendered by make.py (demo)\n# specular: excluded\nname,L,a,b,x,y,w,h\n")
    for r in rows:
        out.write(",".join(map(str, r)) + "\n")

# ---- profiles --------------------------------------------------------------
class xyY(ctypes.Structure):
    _fields_ = [("x", ctypes.c_double), ("y", ctypes.c_double), ("Y", ctypes.c_double)]

class xyYTriple(ctypes.Structure):
    _fields_ = [("r", xyY), ("g", xyY), ("b", xyY)]

lcms.cmsCreateRGBProfile.argtypes = [ctypes.POINTER(xyY), ctypes.POINTER(xyYTriple), ctypes.POINTER(vp)]
lcms.cmsSaveProfileToMem.argtypes = [vp, vp, ctypes.POINTER(ctypes.c_uint32)]
lcms.cmsSetProfileVersion.argtypes = [vp, ctypes.c_double]
lcms.cmsMLUalloc.argtypes = [vp, ctypes.c_uint32]
lcms.cmsMLUsetASCII.argtypes = [vp, cp, cp, cp]
lcms.cmsWriteTag.argtypes = [vp, ctypes.c_uint32, vp]
lcms.cmsBuildGamma.argtypes = [vp, ctypes.c_double]
lcms.cmsBuildParametricToneCurve.argtypes = [vp, ctypes.c_int32, ctypes.POINTER(ctypes.c_double)]

def profile(version, curve, title):
    white = xyY(0.3127, 0.3290, 1)
    primaries = xyYTriple(xyY(0.68, 0.32, 1), xyY(0.25, 0.70, 1), xyY(0.15, 0.05, 1))
    p = lcms.cmsCreateRGBProfile(white, primaries, (vp * 3)(curve, curve, curve))
    lcms.cmsSetProfileVersion(p, version)
    text = lcms.cmsMLUalloc(None, 1)
    lcms.cmsMLUsetASCII(text, b"en", b"GB", title)
    assert lcms.cmsWriteTag(p, 0x64657363, text)  # 'desc'
    size = ctypes.c_uint32(0)
    lcms.cmsSaveProfileToMem(p, None, size)
    data = ctypes.create_string_buffer(size.value)
    assert lcms.cmsSaveProfileToMem(p, data, size)
    return data.raw

gamma = lcms.cmsBuildGamma(None, 1.9)
params = (ctypes.c_double * 5)(2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045)
srgb_like = lcms.cmsBuildParametricToneCurve(None, 4, params)
files = {
    "wide-v4.jpg": profile(4.3, srgb_like, b"demo wide, version 4"),
    "wide-v2.png": profile(2.1, gamma, b"demo wide, version 2"),
    "srgb.jpg": ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes(),
}
points = [(128, 128, 128), (190, 140, 110), (90, 60, 45), (60, 150, 120), (220, 200, 180), (40, 60, 130)]
picture = np.zeros((32, 32 * len(points), 3), np.uint8)
for i, c in enumerate(points):
    picture[:, 32 * i : 32 * i + 32] = c
with open("profile.csv", "w") as out:
    out.write("# source: Little CMS 2.14, relative colorimetric to its own sRGB, in 8-bit levels\nfile,patch,stored_r,stored_g,stored_b,r,g,b\n")
    # ImageCms works in 8 bits, so the transform is called directly, in doubles.
    lcms.cmsOpenProfileFromMem.restype = vp
    lcms.cmsOpenProfileFromMem.argtypes = [cp, ctypes.c_uint32]
    lcms.cmsCreate_sRGBProfile.restype = vp
    lcms.cmsCreateTransform.restype = vp
    lcms.cmsCreateTransform.argtypes = [vp, ctypes.c_uint32, vp, ctypes.c_uint32, ctypes.c_uint32, ctypes.c_uint32]
    lcms.cmsDoTransform.argtypes = [vp, vp, vp, ctypes.c_uint32]
    RGB_DBL = (1 << 22) | (4 << 16) | (3 << 3) | 0
    for name, icc in files.items():
        icc = icc[:24] + bytes.fromhex("07ea00010001000000000000") + icc[36:84] + bytes(16) + icc[100:]  # fixed date, no checksum
        image = Image.fromarray(picture)
        if name.endswith("jpg"):
            image.save(name, quality=100, subsampling=0, icc_profile=icc)
        else:
            image.save(name, icc_profile=icc, optimize=True)
        t = lcms.cmsCreateTransform(lcms.cmsOpenProfileFromMem(icc, len(icc)), RGB_DBL, lcms.cmsCreate_sRGBProfile(), RGB_DBL, 1, 0x40)
        for i, c in enumerate(points):
            seen = Image.open(name).convert("RGB").getpixel((32 * i + 16, 16))
            src = (ctypes.c_double * 3)(*[v / 255 for v in seen])
            dst = (ctypes.c_double * 3)()
            lcms.cmsDoTransform(t, src, dst, 1)
            out.write(f"{name},{i}," + ",".join(map(str, seen)) + "," + ",".join(f"{255*v:.3f}" for v in dst) + "\n")

# ---- CGATS -----------------------------------------------------------------
lcms.cmsIT8Alloc.argtypes = [vp]
lcms.cmsIT8SetSheetType.argtypes = [vp, cp]
lcms.cmsIT8SetComment.argtypes = [vp, cp]
lcms.cmsIT8SetPropertyStr.argtypes = [vp, cp, cp]
lcms.cmsIT8SetPropertyDbl.argtypes = [vp, cp, ctypes.c_double]
lcms.cmsIT8SetDataFormat.argtypes = [vp, ci, cp]
lcms.cmsIT8SetDataRowCol.argtypes = [vp, ci, ci, cp]
lcms.cmsIT8SetTable.argtypes = [vp, ctypes.c_uint32]
lcms.cmsIT8SaveToFile.argtypes = [vp, cp]
lcms.cmsIT8DefineDblFormat.argtypes = [vp, cp]

def table(it8, number, fields, rows):
    lcms.cmsIT8SetTable(it8, number)
    lcms.cmsIT8SetSheetType(it8, b"CGATS.17")
    lcms.cmsIT8SetPropertyStr(it8, b"ORIGINATOR", b"demo wardrobe workshop")
    lcms.cmsIT8SetPropertyDbl(it8, b"NUMBER_OF_FIELDS", len(fields))
    lcms.cmsIT8SetPropertyDbl(it8, b"NUMBER_OF_SETS", len(rows))
    for i, f in enumerate(fields):
        assert lcms.cmsIT8SetDataFormat(it8, i, f.encode())
    for y, row in enumerate(rows):
        for x, v in enumerate(row):
            assert lcms.cmsIT8SetDataRowCol(it8, y, x, str(v).encode())

it8 = lcms.cmsIT8Alloc(None)
nm = list(range(400, 701, 20))
def reflectance(k, w):  # an invented skin-like rise, in per cent
    return round(12 + 8 * k + 40 / (1 + math.exp(-(w - 580 - 5 * k) / 30)), 3)
table(it8, 0, ["SAMPLE_ID", "SAMPLE_NAME"] + [f"SPECTRAL_{w}" for w in nm],
      [[k + 1, f"dancer {k + 1} wrist"] + [reflectance(k, w) for w in nm] for k in range(3)])
lcms.cmsIT8SetPropertyStr(it8, b"MEASUREMENT_SOURCE", b"Illumination=D50 ObserverAngle=2 degree")
table(it8, 1, ["SAMPLE_ID", "LAB_L", "LAB_A", "LAB_B"],
      [["A1", 63.25, 10.5, 15.125], ["A2", 41.5, 12.75, 18.0]])
assert lcms.cmsIT8SaveToFile(it8, b"lcms.cgats.txt")

if os.path.exists("ours.cgats.txt"):
    lcms.cmsIT8LoadFromFile.argtypes = [vp, cp]
    lcms.cmsIT8TableCount.argtypes = [vp]
    lcms.cmsIT8EnumDataFormat.argtypes = [vp, ctypes.POINTER(ctypes.POINTER(cp))]
    lcms.cmsIT8GetPropertyDbl.argtypes = [vp, cp]
    lcms.cmsIT8GetPropertyDbl.restype = ctypes.c_double
    lcms.cmsIT8GetDataRowCol.argtypes = [vp, ci, ci]
    lcms.cmsIT8GetDataRowCol.restype = cp
    it8 = lcms.cmsIT8LoadFromFile(None, b"ours.cgats.txt")
    assert it8, "Little CMS cannot read ours.cgats.txt"
    with open("lcms-read.csv", "w") as out:
        out.write("# source: Little CMS 2.14 reading ours.cgats.txt\ntable,row,field,value\n")
        for t in range(lcms.cmsIT8TableCount(it8)):
            lcms.cmsIT8SetTable(it8, t)
            names = ctypes.POINTER(cp)()
            n = lcms.cmsIT8EnumDataFormat(it8, names)
            for y in range(int(lcms.cmsIT8GetPropertyDbl(it8, b"NUMBER_OF_SETS"))):
                for x in range(n):
                    csv.writer(out, lineterminator="\n").writerow([t, y, names[x].decode(), lcms.cmsIT8GetDataRowCol(it8, y, x).decode()])
