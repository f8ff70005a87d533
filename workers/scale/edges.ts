import type { GreyImage } from '../image';
import { blurred } from './pictures';
import type { RidgeMap } from './ridges';

/**
 * Points on steps of brightness, one at most a pixel, in the same form as the crests of lines: `strength` is the slope (grey levels per px),
 * `angle` the edge's own direction. A pixel is on an edge where the slope is greatest across it, placed by a parabola. Of several
 * pictures of one size (lightness, warmth) the one with the greater slope counts at each pixel.
 * Source: J. Canny, "A computational approach to edge detection", IEEE PAMI 8 (1986) 679–698 (non-maximum suppression).
 */
export const findEdges = (images: readonly GreyImage[], sigmaPx: number, threshold: number): RidgeMap => {
  const w = images[0]?.widthPx ?? 0;
  const h = images[0]?.heightPx ?? 0;
  const gx = new Float32Array(w * h);
  const gy = new Float32Array(w * h);
  const slope = new Float32Array(w * h);
  for (const image of images) {
    const { data: s } = blurred(image, sigmaPx);
    for (let row = 1; row < h - 1; row++) {
      for (let i = row * w + 1; i < row * w + w - 1; i++) {
        const dx = ((s[i + 1] as number) - (s[i - 1] as number)) / 2;
        const dy = ((s[i + w] as number) - (s[i - w] as number)) / 2;
        const size = Math.sqrt(dx * dx + dy * dy);
        if (size <= (slope[i] as number)) continue;
        gx[i] = dx;
        gy[i] = dy;
        slope[i] = size;
      }
    }
  }
  const map: RidgeMap = {
    widthPx: w,
    heightPx: h,
    strength: new Float32Array(w * h),
    x: new Float32Array(w * h),
    y: new Float32Array(w * h),
    angle: new Float32Array(w * h),
  };
  for (let row = 2; row < h - 2; row++) {
    for (let column = 2; column < w - 2; column++) {
      const i = row * w + column;
      const c = slope[i] as number;
      if (c < threshold) continue;
      const nx = (gx[i] as number) / c;
      const ny = (gy[i] as number) / c;
      // Slope one px ahead and behind along the gradient, between the two pixels of the neighbouring row or column.
      const steep = Math.abs(nx) > Math.abs(ny);
      const share = steep ? Math.abs(ny / nx) : Math.abs(nx / ny);
      const main = steep ? Math.sign(nx) : Math.sign(ny) * w;
      const side = steep ? Math.sign(ny) * w : Math.sign(nx);
      const ahead = (1 - share) * (slope[i + main] as number) + share * (slope[i + main + side] as number);
      const behind = (1 - share) * (slope[i - main] as number) + share * (slope[i - main - side] as number);
      if (c < ahead || c <= behind) continue;
      const bend = ahead + behind - 2 * c;
      const reach = steep ? 1 / Math.abs(nx) : 1 / Math.abs(ny);
      const t = bend < 0 ? Math.max(-0.5, Math.min(0.5, (behind - ahead) / (2 * bend))) * reach : 0;
      map.strength[i] = c;
      map.x[i] = column + 0.5 + t * nx;
      map.y[i] = row + 0.5 + t * ny;
      const along = Math.atan2(ny, nx) + Math.PI / 2;
      map.angle[i] = along - Math.PI * Math.floor(along / Math.PI);
    }
  }
  return map;
};
