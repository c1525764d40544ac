/** No token that fits into a header is longer than this. */
const MAX_LENGTH = 12_000;

/** Whether a bearer token looks like a JSON Web Token. */
export function isJwt(token: string): boolean {
  return token.length <= MAX_LENGTH && /^[\w-]+\.[\w-]+\.[\w-]*$/.test(token);
}
