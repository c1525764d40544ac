/** Longer than any token of a provider that fits into a header. */
const MAX_LENGTH = 12_000;

/** Whether a bearer token looks like a JSON Web Token. */
export function isJwt(token: string): boolean {
  return token.length <= MAX_LENGTH && /^[\w-]+\.[\w-]+\.[\w-]*$/.test(token);
}
