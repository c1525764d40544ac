import Negotiator from 'negotiator';

/**
 * Whether an `Accept` header asks for a page rather than data. Browsers do. A client that names
 * neither, or accepts both equally, gets data.
 *
 * @example wantsHtml('text/html,application/xhtml+xml;q=0.9') // true
 * @example wantsHtml('*' + '/*') // false
 */
export function wantsHtml(accept: string | undefined): boolean {
  return new Negotiator({ headers: { accept } }).mediaType(['application/json', 'text/html']) === 'text/html';
}
