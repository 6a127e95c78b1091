/* The flat part of a card by Cairo: the same rectangles, in the same order, on
 * the same pixels, for the comparison that swatches' peer test prints.
 *
 *   cc -O2 flat.c $(pkg-config --cflags --libs cairo) -o flat
 *   flat WIDTH HEIGHT RUNS < work > pixels
 *
 * work has one rectangle a line: x y width height red green blue (pixels and
 * 0 to 255). The pixels come out as rows of R, G, B; the times of painting and
 * of writing a PNG to memory, seconds a run, go to standard error. */
#include <cairo.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#define MOST 4096

static double now(void)
{
	struct timespec t;
	clock_gettime(CLOCK_MONOTONIC, &t);
	return t.tv_sec + 1e-9 * t.tv_nsec;
}

static size_t written;

static cairo_status_t count(void *closure, const unsigned char *data, unsigned int length)
{
	(void)closure;
	(void)data;
	written += length;
	return CAIRO_STATUS_SUCCESS;
}

int main(int argc, char **argv)
{
	static double r[MOST][7];
	int n = 0, width, height, runs, i, k, x, y;
	double start, paint = 0, png = 0;
	cairo_surface_t *s = NULL;
	cairo_t *c;

	if (argc != 4) {
		fprintf(stderr, "usage: flat WIDTH HEIGHT RUNS < work > pixels\n");
		return 2;
	}
	width = atoi(argv[1]);
	height = atoi(argv[2]);
	runs = atoi(argv[3]);
	if (runs < 1)
		return 2;
	while (n < MOST && scanf("%lf %lf %lf %lf %lf %lf %lf", &r[n][0], &r[n][1], &r[n][2], &r[n][3], &r[n][4], &r[n][5], &r[n][6]) == 7)
		n++;
	for (k = 0; k < runs; k++) {
		if (k > 0)
			cairo_surface_destroy(s);
		start = now();
		s = cairo_image_surface_create(CAIRO_FORMAT_RGB24, width, height);
		c = cairo_create(s);
		for (i = 0; i < n; i++) {
			cairo_set_source_rgb(c, r[i][4] / 255, r[i][5] / 255, r[i][6] / 255);
			cairo_rectangle(c, r[i][0], r[i][1], r[i][2], r[i][3]);
			cairo_fill(c);
		}
		cairo_destroy(c);
		cairo_surface_flush(s);
		paint += now() - start;
		start = now();
		cairo_surface_write_to_png_stream(s, count, NULL);
		png += now() - start;
	}
	for (y = 0; y < height; y++) {
		unsigned int *row = (unsigned int *)(cairo_image_surface_get_data(s) + y * cairo_image_surface_get_stride(s));
		for (x = 0; x < width; x++) {
			putchar(row[x] >> 16 & 255);
			putchar(row[x] >> 8 & 255);
			putchar(row[x] & 255);
		}
	}
	fprintf(stderr, "%.9f %.9f %zu\n", paint / runs, png / runs, written / runs);
	return 0;
}
