export type Environment = Readonly<Record<string, string | undefined>>;

/**
 * A setting that cannot be used; the message names the variable, its value and what is accepted.
 */
export class ConfigError extends Error {}

export function wholeNumber(
  env: Environment,
  name: string,
  fallback: number,
  min: number,
  max: number,
): number {
  const text = env[name];
  if (text === undefined || text === '') return fallback;
  const value = Number(text);
  if (!Number.isInteger(value) || value < min || value > max) {
    throw new ConfigError(`${name} is "${text}"; a whole number from ${min} to ${max} is needed`);
  }
  return value;
}

/** What is written with commas between. */
export function list(text: string): string[] {
  return text
    .split(',')
    .map((part) => part.trim())
    .filter((part) => part !== '');
}
