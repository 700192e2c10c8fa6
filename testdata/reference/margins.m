% Margins of loops given on standard input, one a line: number of numerator
% coefficients, the coefficients, the denominator's. Prints gain margin, phase
% margin (degrees), both frequencies (rad/s), and the greatest gain of the
% sensitivity. Needs Octave with its control package.
pkg load control
while ischar(text = fgetl(stdin))
  x = str2num(text);
  n = x(1);
  loop = tf(x(2:n+1), x(n+2:end));
  [gain, phase, turn, cross] = margin(loop);
  w = logspace(-2, 2, 40001);
  h = squeeze(freqresp(loop, w));
  printf("%.12g %.12g %.12g %.12g %.12g\n", gain, phase, turn, cross, max(abs(1 ./ (1 + h))));
end
