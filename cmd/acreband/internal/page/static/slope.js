// Slopes as people write them: 30%, 14°, 14deg, 1:4 (one up in four along).

// percent is NaN for what is no slope; the server tells why.
export function percent(text) {
  const m = /^([\d.]+)\s*(%|°|deg|:\s*[\d.]+)$/i.exec(text.trim());
  if (!m) return NaN;
  const n = Number(m[1]);
  if (m[2] === "%") return n;
  if (m[2].startsWith(":")) return n <= Number(m[2].slice(1)) ? 100 * n / Number(m[2].slice(1)) : NaN;
  return 100 * Math.tan(n * Math.PI / 180);
}
