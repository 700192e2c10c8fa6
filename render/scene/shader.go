package scene

// Light is worked out at the vertices, in the square of the stored colours (a
// gamma of 2), so that a pixel costs little: a person's computer may have to
// draw by its processor alone.

const vertexShader = `
layout(location=0) in vec3 at;
layout(location=1) in vec4 normal;
layout(location=2) in vec2 tile;
layout(location=3) in vec4 color;
layout(location=4) in vec4 grain;
uniform mat4 view;      // room → picture
uniform mat4 place;     // thing → room
uniform float ambient;  // light everywhere
uniform float eyes;     // how far they have adapted
uniform float outdoors; // light beyond the glass, as adapted eyes see it
uniform float opacity;
uniform float glow;     // of what has its own light
uniform int lamps;
uniform vec4 lamp[8];   // place, strength × level
out vec2 uv;
out vec4 tint;
flat out vec4 pattern;

// sky is how a pale overcast sky lights a surface: most from above, a little
// more from one side so that corners show.
float sky(vec3 n) { return 0.80 + 0.17*n.z + 0.07*n.x - 0.05*n.y; }

float lampLight(vec3 p, vec3 n) {
	float sum = 0.0;
	for (int i = 0; i < lamps; i++) {
		vec3 d = lamp[i].xyz - p;
		float sq = max(dot(d, d), 0.25);
		sum += lamp[i].w * (0.5 + 0.5*max(dot(d, n)*inversesqrt(sq), 0.0)) / sq;
	}
	return sum;
}

void main() {
	vec4 p = place*vec4(at, 1.0);
	vec3 n = normalize(mat3(place)*(normal.xyz*2.0 - 1.0));
	int kind = int(normal.w*255.0 + 0.5);
	float light = kind == 2 ? glow : kind == 1 ? outdoors : eyes*(ambient*sky(n) + lampLight(p.xyz, n));
	if (kind == 1 && dot(normal.xyz - 0.5, normal.xyz - 0.5) > 0.1) light *= sky(n);
	uv = tile;
	tint = vec4(sqrt(color.rgb*color.rgb*min(light, 1.25)), color.a*opacity);
	pattern = grain;
	gl_Position = view*p;
}`

// What is outside never moves and no lamp reaches it.
const farShader = `
layout(location=0) in vec3 at;
layout(location=1) in vec4 normal;
layout(location=2) in vec2 tile;
layout(location=3) in vec4 color;
layout(location=4) in vec4 grain;
uniform mat4 view;
uniform float outdoors;
out vec2 uv;
out vec4 tint;
flat out vec4 pattern;
void main() {
	uv = tile;
	vec3 n = normal.xyz*2.0 - 1.0;
	float sky = 0.80 + 0.17*n.z + 0.07*n.x - 0.05*n.y;
	tint = vec4(color.rgb*sqrt(outdoors*(dot(n, n) > 0.1 ? sky : 1.0)), color.a);
	pattern = grain;
	gl_Position = view*vec4(at, 1.0);
}`

const plainShader = `
in vec2 uv;
in vec4 tint;
flat in vec4 pattern;
out vec4 color;
void main() { color = tint; }`

// A line thinner than a pixel covers a share of it; many lines in one pixel
// cover their mean. So joints and nets neither flicker nor crawl.
const lineCoverage = `
vec2 covered(vec2 at, vec2 step, float half_width) {
	vec2 off = abs(fract(at - 0.5) - 0.5);
	vec2 line = clamp((half_width - off)/step + 0.5, 0.0, 1.0) - clamp((-half_width - off)/step + 0.5, 0.0, 1.0);
	return mix(line, vec2(2.0*half_width), clamp(step*2.0 - 0.5, 0.0, 1.0));
}`

const grainShader = `
in vec2 uv;
in vec4 tint;
flat in vec4 pattern;
uniform sampler2D noise;
out vec4 color;
` + lineCoverage + `
void main() {
	vec2 step = fwidth(uv);
	vec2 joint = covered(uv, step, pattern.x*0.25);
	float tile = texelFetch(noise, ivec2(floor(uv)) & 255, 0).r - 0.5;
	float speck = texture(noise, uv*0.23).r - 0.5;
	float k = (1.0 + pattern.z*tile + pattern.w*speck)*(1.0 - pattern.y*max(joint.x, joint.y));
	color = vec4(tint.rgb*k, tint.a);
}`

const netShader = `
in vec2 uv;
in vec4 tint;
flat in vec4 pattern;
out vec4 color;
` + lineCoverage + `
void main() {
	vec2 line = covered(uv, fwidth(uv), pattern.x*0.25);
	color = vec4(tint.rgb, tint.a*max(line.x, line.y));
}`
