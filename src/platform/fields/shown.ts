/** Returns a value as a fault quotes it. Long values are cut. */
export function shown(value: unknown): string {
  const text = typeof value === 'string' ? `"${value}"` : (JSON.stringify(value) ?? 'null');
  return text.length > 60 ? `${text.slice(0, 57)}…` : text;
}
