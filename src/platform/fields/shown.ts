/** A value as a fault repeats it, cut where it is long. */
export function shown(value: unknown): string {
  const text = typeof value === 'string' ? `"${value}"` : (JSON.stringify(value) ?? 'null');
  return text.length > 60 ? `${text.slice(0, 57)}…` : text;
}
