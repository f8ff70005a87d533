import { type Box, mapped } from '../../../domain/compareViewFlat';
import type { Homography } from '../../../domain/plane';

/** Size of the photo at full resolution, px; the source may be a smaller copy of it. */
export interface Size {
  readonly width: number;
  readonly height: number;
}

/** Anything that a canvas can draw. */
export type WarpSource = ImageBitmap | HTMLCanvasElement;

const VERTEX = `#version 300 es
in vec2 corner;
out vec2 at;
uniform vec4 box;
void main() {
  at = box.xy + corner * box.zw;
  gl_Position = vec4(corner.x * 2.0 - 1.0, 1.0 - corner.y * 2.0, 0.0, 1.0);
}`;

/** Each pixel asks where it lies in the photo: exact, whatever the tilt. */
const FRAGMENT = `#version 300 es
precision highp float;
in vec2 at;
out vec4 colour;
uniform mat3 toPhoto;
uniform vec2 size;
uniform sampler2D photo;
void main() {
  vec3 p = toPhoto * vec3(at, 1.0);
  vec2 uv = p.xy / p.z / size;
  if (p.z <= 0.0 || any(lessThan(uv, vec2(0.0))) || any(greaterThan(uv, vec2(1.0)))) {
    colour = vec4(0.0);
  } else {
    colour = vec4(texture(photo, uv).rgb, 1.0);
  }
}`;

const shaderOf = (gl: WebGL2RenderingContext, kind: number, source: string): WebGLShader | null => {
  const shader = gl.createShader(kind);
  if (!shader) return null;
  gl.shaderSource(shader, source);
  gl.compileShader(shader);
  return gl.getShaderParameter(shader, gl.COMPILE_STATUS) ? shader : null;
};

const programOf = (gl: WebGL2RenderingContext): WebGLProgram | null => {
  const program = gl.createProgram();
  const vertex = shaderOf(gl, gl.VERTEX_SHADER, VERTEX);
  const fragment = shaderOf(gl, gl.FRAGMENT_SHADER, FRAGMENT);
  if (!program || !vertex || !fragment) return null;
  gl.attachShader(program, vertex);
  gl.attachShader(program, fragment);
  gl.bindAttribLocation(program, 0, 'corner');
  gl.linkProgram(program);
  return gl.getProgramParameter(program, gl.LINK_STATUS) ? program : null;
};

/** Loads the photo with all its smaller versions, so that a reduced picture does not shimmer. */
const loadTexture = (gl: WebGL2RenderingContext, source: WarpSource): void => {
  gl.bindTexture(gl.TEXTURE_2D, gl.createTexture());
  gl.texImage2D(gl.TEXTURE_2D, 0, gl.RGBA, gl.RGBA, gl.UNSIGNED_BYTE, source);
  gl.generateMipmap(gl.TEXTURE_2D);
  gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MIN_FILTER, gl.LINEAR_MIPMAP_LINEAR);
  gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MAG_FILTER, gl.LINEAR);
  gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_WRAP_S, gl.CLAMP_TO_EDGE);
  gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_WRAP_T, gl.CLAMP_TO_EDGE);
  const sharper = gl.getExtension('EXT_texture_filter_anisotropic');
  if (sharper) gl.texParameterf(gl.TEXTURE_2D, sharper.TEXTURE_MAX_ANISOTROPY_EXT, 4);
};

/**
 * Draws the photo flat with the graphics processor into `target`.
 * @returns false when that cannot be done here; `target` is then as it was.
 */
export const warpByShader = (
  source: WarpSource,
  photo: Size,
  sheetToPhoto: Homography,
  box: Box,
  target: HTMLCanvasElement,
): boolean => {
  const surface = document.createElement('canvas');
  surface.width = target.width;
  surface.height = target.height;
  const gl = surface.getContext('webgl2', {
    premultipliedAlpha: true,
    antialias: false,
    preserveDrawingBuffer: true,
  });
  const context = target.getContext('2d');
  const program = gl && programOf(gl);
  if (!gl || !program || !context) return false;
  if (
    Math.max(source.width, source.height, target.width, target.height) >
    Number(gl.getParameter(gl.MAX_TEXTURE_SIZE))
  )
    return false;
  loadTexture(gl, source);
  // The sign of a homography is free; the middle of the picture must come out in front.
  const h = sheetToPhoto;
  const middle = h[6] * (box.x + box.width / 2) + h[7] * (box.y + box.height / 2) + h[8];
  const sign = middle < 0 ? -1 : 1;
  // WebGL reads matrices column by column.
  const columns = [h[0], h[3], h[6], h[1], h[4], h[7], h[2], h[5], h[8]].map((value) => sign * value);
  // biome-ignore lint/correctness/useHookAtTopLevel: a call of WebGL, not a hook
  gl.useProgram(program);
  gl.uniformMatrix3fv(gl.getUniformLocation(program, 'toPhoto'), false, columns);
  gl.uniform2f(gl.getUniformLocation(program, 'size'), photo.width, photo.height);
  gl.uniform4f(gl.getUniformLocation(program, 'box'), box.x, box.y, box.width, box.height);
  gl.bindBuffer(gl.ARRAY_BUFFER, gl.createBuffer());
  gl.bufferData(gl.ARRAY_BUFFER, new Float32Array([0, 0, 1, 0, 0, 1, 1, 1]), gl.STATIC_DRAW);
  gl.enableVertexAttribArray(0);
  gl.vertexAttribPointer(0, 2, gl.FLOAT, false, 0, 0);
  gl.viewport(0, 0, surface.width, surface.height);
  gl.drawArrays(gl.TRIANGLE_STRIP, 0, 4);
  const failed = gl.getError() !== gl.NO_ERROR || gl.isContextLost();
  if (!failed) context.drawImage(surface, 0, 0);
  gl.getExtension('WEBGL_lose_context')?.loseContext();
  return !failed;
};

/** Cells along each side of the mesh: a photo tilted by 40° then lies within a few hundredths of a cell's px of its place. */
const CELLS = 40;

/** Draws the photo flat cell by cell, each by the affine map that its corners give; for browsers without WebGL 2. */
export const warpByMesh = (
  source: WarpSource,
  photo: Size,
  sheetToPhoto: Homography,
  box: Box,
  target: HTMLCanvasElement,
): boolean => {
  const context = target.getContext('2d');
  if (!context) return false;
  const [kx, ky] = [target.width / box.width, target.height / box.height];
  const corner = (i: number, j: number) => {
    const x = (i * target.width) / CELLS;
    const y = (j * target.height) / CELLS;
    return { x, y, from: mapped(sheetToPhoto, { x: box.x + x / kx, y: box.y + y / ky }) };
  };
  type Corner = ReturnType<typeof corner>;
  const triangle = (a: Corner, b: Corner, c: Corner): void => {
    const [ux, uy] = [b.from.x - a.from.x, b.from.y - a.from.y];
    const [vx, vy] = [c.from.x - a.from.x, c.from.y - a.from.y];
    const determinant = ux * vy - uy * vx;
    if (Math.abs(determinant) < 1e-9) return;
    const solve = (p: number, q: number): [number, number] => [
      (p * vy - q * uy) / determinant,
      (q * ux - p * vx) / determinant,
    ];
    const [m11, m21] = solve(b.x - a.x, c.x - a.x);
    const [m12, m22] = solve(b.y - a.y, c.y - a.y);
    context.save();
    context.beginPath();
    // Half a pixel over the edge on all sides, or seams would show.
    const cx = (a.x + b.x + c.x) / 3;
    const cy = (a.y + b.y + c.y) / 3;
    for (const p of [a, b, c]) {
      const d = Math.max(1e-6, Math.hypot(p.x - cx, p.y - cy));
      context.lineTo(p.x + (p.x - cx) / d, p.y + (p.y - cy) / d);
    }
    context.closePath();
    context.clip();
    context.transform(
      m11,
      m12,
      m21,
      m22,
      a.x - m11 * a.from.x - m21 * a.from.y,
      a.y - m12 * a.from.x - m22 * a.from.y,
    );
    context.drawImage(source, 0, 0, photo.width, photo.height);
    context.restore();
  };
  context.imageSmoothingQuality = 'high';
  for (let j = 0; j < CELLS; j += 1) {
    for (let i = 0; i < CELLS; i += 1) {
      const [a, b, c, d] = [corner(i, j), corner(i + 1, j), corner(i + 1, j + 1), corner(i, j + 1)];
      triangle(a, b, c);
      triangle(a, c, d);
    }
  }
  return true;
};
