// A scene by WebGL2: one call for all carriers, one for all stations that wait.
import { parts } from "./colours";
import type { Colours } from "./colours";
import { lineOf } from "./flat";
import type { Painter } from "./painter";
import { CARRIER, STATION } from "./scene";
import type { Tiles } from "./tiles";

const CARRIER_POINT = `#version 300 es
layout(location=0) in vec2 corner;
layout(location=1) in vec3 place;
layout(location=2) in vec2 tile;
uniform vec2 origin, window;
uniform float unit, cell;
uniform vec2 sheet;
out vec2 spot;
void main() {
  float size = place.z > 0.99 ? cell : unit * place.z;
  vec2 left = (place.xy - origin) * unit - 0.5 * size;
  left = floor(left + 0.5);
  vec2 at = left + corner * size;
  gl_Position = vec4(at.x / window.x * 2.0 - 1.0, 1.0 - at.y / window.y * 2.0, 0, 1);
  spot = (tile.yx + corner) * cell / sheet;
}`;

const CARRIER_COLOUR = `#version 300 es
precision mediump float;
in vec2 spot;
uniform sampler2D picture;
out vec4 colour;
void main() { colour = texture(picture, spot); }`;

const STATION_POINT = `#version 300 es
layout(location=0) in vec2 corner;
layout(location=1) in vec4 box;
layout(location=2) in float does;
uniform vec2 origin, window;
uniform float unit;
out vec2 spot;
flat out vec2 size;
flat out int what;
void main() {
  vec2 left = floor((box.xy - origin) * unit + 0.5);
  size = floor(box.zw * unit + 0.5);
  spot = corner * size;
  vec2 at = left + spot;
  what = int(does);
  gl_Position = vec4(at.x / window.x * 2.0 - 1.0, 1.0 - at.y / window.y * 2.0, 0, 1);
}`;

/** Starved: a broken rim. Blocked: a full rim and a bar at the foot. Down: a rim and a cross. */
const STATION_COLOUR = `#version 300 es
precision mediump float;
in vec2 spot;
flat in vec2 size;
flat in int what;
uniform float line;
uniform vec3 ink, alarm, power;
out vec4 colour;
void main() {
  vec2 edge = min(spot, size - spot);
  float rim = min(edge.x, edge.y);
  bool on = rim < line;
  vec3 tint = ink;
  float wash = 0.0;
  if (what == 3) {
    tint = alarm;
    float along = edge.x < edge.y ? spot.y : spot.x;
    on = on && mod(along, line * 5.0) < line * 3.0;
    wash = 0.09;
  } else if (what == 2) {
    on = on || spot.y > size.y * 0.86;
    wash = 0.10;
  } else {
    tint = power;
    float lean = size.y / size.x;
    on = on || abs(spot.y - spot.x * lean) < line * 0.7 || abs(size.y - spot.y - spot.x * lean) < line * 0.7;
    wash = 0.10;
  }
  colour = on ? vec4(tint, 1) : vec4(tint * wash, wash);
}`;

/** A painter by WebGL2; null where the browser has none. Where there is no graphics processor behind
 *  it, the plain pen is four times as fast: then there is one only if `force` asks for it. */
export function gpuPainter(canvas: HTMLCanvasElement, force: boolean): Painter | null {
  if (!force && !hasProcessor()) return null;
  const gl = canvas.getContext("webgl2", {
    alpha: true, antialias: false, depth: false, stencil: false, premultipliedAlpha: true,
    powerPreference: "low-power",
  }); // prettier-ignore
  if (!gl) return null;
  const carrier = programOf(gl, CARRIER_POINT, CARRIER_COLOUR);
  const station = programOf(gl, STATION_POINT, STATION_COLOUR);
  if (!carrier || !station) return null;
  const corners = gl.createBuffer();
  gl.bindBuffer(gl.ARRAY_BUFFER, corners);
  gl.bufferData(gl.ARRAY_BUFFER, new Float32Array([0, 0, 1, 0, 0, 1, 1, 1]), gl.STATIC_DRAW);
  const carriers = arrayOf(gl, corners, CARRIER, [3, 2]);
  const stations = arrayOf(gl, corners, STATION, [4, 1]);
  const picture = gl.createTexture();
  let tiles: Tiles | null = null;
  let colours: Colours = () => "#808080";
  gl.enable(gl.BLEND);
  gl.blendFunc(gl.ONE, gl.ONE_MINUS_SRC_ALPHA);

  return {
    kind: "webgl2",
    dress(made, now) {
      tiles = made;
      colours = now;
      gl.bindTexture(gl.TEXTURE_2D, picture);
      gl.pixelStorei(gl.UNPACK_PREMULTIPLY_ALPHA_WEBGL, true);
      gl.texImage2D(gl.TEXTURE_2D, 0, gl.RGBA, gl.RGBA, gl.UNSIGNED_BYTE, made.picture);
      gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MIN_FILTER, gl.LINEAR);
      gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_MAG_FILTER, gl.LINEAR);
      gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_WRAP_S, gl.CLAMP_TO_EDGE);
      gl.texParameteri(gl.TEXTURE_2D, gl.TEXTURE_WRAP_T, gl.CLAMP_TO_EDGE);
    },
    paint(scene, view) {
      gl.viewport(0, 0, canvas.width, canvas.height);
      gl.clearColor(0, 0, 0, 0);
      gl.clear(gl.COLOR_BUFFER_BIT);
      const unit = view.scale * view.dense;
      if (scene.stationCount) {
        gl.useProgram(station);
        gl.uniform2f(gl.getUniformLocation(station, "origin"), view.x, view.y);
        gl.uniform2f(gl.getUniformLocation(station, "window"), canvas.width, canvas.height);
        gl.uniform1f(gl.getUniformLocation(station, "unit"), unit);
        gl.uniform1f(gl.getUniformLocation(station, "line"), lineOf(unit, view.dense));
        for (const role of ["ink", "alarm", "power"]) {
          gl.uniform3f(gl.getUniformLocation(station, role), ...parts(colours(role)));
        }
        fill(gl, stations, scene.stations, scene.stationCount * STATION, scene.stationCount);
      }
      if (scene.carrierCount && tiles) {
        gl.useProgram(carrier);
        gl.bindTexture(gl.TEXTURE_2D, picture);
        gl.uniform2f(gl.getUniformLocation(carrier, "origin"), view.x, view.y);
        gl.uniform2f(gl.getUniformLocation(carrier, "window"), canvas.width, canvas.height);
        gl.uniform1f(gl.getUniformLocation(carrier, "unit"), unit);
        gl.uniform1f(gl.getUniformLocation(carrier, "cell"), tiles.cell);
        gl.uniform2f(gl.getUniformLocation(carrier, "sheet"), tiles.picture.width, tiles.picture.height);
        fill(gl, carriers, scene.carriers, scene.carrierCount * CARRIER, scene.carrierCount);
      }
    },
    free() {
      gl.getExtension("WEBGL_lose_context")?.loseContext();
    },
  };
}

/** Whether a graphics processor draws, and no program in its place. */
function hasProcessor(): boolean {
  const gl = document.createElement("canvas").getContext("webgl2", { failIfMajorPerformanceCaveat: true });
  if (!gl) return false;
  const told = gl.getExtension("WEBGL_debug_renderer_info");
  const name = String(gl.getParameter(told ? told.UNMASKED_RENDERER_WEBGL : gl.RENDERER));
  gl.getExtension("WEBGL_lose_context")?.loseContext();
  return !/swiftshader|llvmpipe|software|basic render/i.test(name);
}

interface Instances {
  readonly array: WebGLVertexArrayObject;
  readonly buffer: WebGLBuffer;
}

function fill(gl: WebGL2RenderingContext, to: Instances, data: Float32Array, length: number, count: number): void {
  gl.bindVertexArray(to.array);
  gl.bindBuffer(gl.ARRAY_BUFFER, to.buffer);
  gl.bufferData(gl.ARRAY_BUFFER, data.subarray(0, length), gl.STREAM_DRAW);
  gl.drawArraysInstanced(gl.TRIANGLE_STRIP, 0, 4, count);
}

/** An array of instances with entries of `sizes` after the corners. */
function arrayOf(gl: WebGL2RenderingContext, corners: WebGLBuffer, stride: number, sizes: readonly number[]): Instances {
  const array = gl.createVertexArray();
  const buffer = gl.createBuffer();
  gl.bindVertexArray(array);
  gl.bindBuffer(gl.ARRAY_BUFFER, corners);
  gl.enableVertexAttribArray(0);
  gl.vertexAttribPointer(0, 2, gl.FLOAT, false, 0, 0);
  gl.bindBuffer(gl.ARRAY_BUFFER, buffer);
  let offset = 0;
  sizes.forEach((size, number) => {
    gl.enableVertexAttribArray(number + 1);
    gl.vertexAttribPointer(number + 1, size, gl.FLOAT, false, stride * 4, offset * 4);
    gl.vertexAttribDivisor(number + 1, 1);
    offset += size;
  });
  return { array, buffer };
}

function programOf(gl: WebGL2RenderingContext, point: string, colour: string): WebGLProgram | null {
  const program = gl.createProgram();
  for (const [kind, text] of [[gl.VERTEX_SHADER, point], [gl.FRAGMENT_SHADER, colour]] as const) {
    const shader = gl.createShader(kind);
    if (!shader) return null;
    gl.shaderSource(shader, text);
    gl.compileShader(shader);
    gl.attachShader(program, shader);
  }
  gl.linkProgram(program);
  return gl.getProgramParameter(program, gl.LINK_STATUS) ? program : null;
}
