/**
 * What must never be read in a log: tokens of this service and others, also where the end of one
 * was cut off, webhook secrets, passwords in addresses, keys in a query. Each pattern reads a
 * text once: none scans the same stretch again from its next character.
 */
const SECRETS: [what: RegExp, instead: string][] = [
  [/wh_[A-Za-z0-9_-]{16,43}/g, 'wh_…'],
  [/whsec_[A-Za-z0-9+/=_-]{16,}/g, 'whsec_…'],
  [/\beyJ[A-Za-z0-9_-]{8,}(?:\.[A-Za-z0-9_-]*){0,2}/g, '…'],
  [/:\/\/[^\s/@"'\\]+@/g, '://…@'],
  [/([?&](?:token|secret|password|key|access_token)=)[^&\s"'\\]+/gi, '$1…'],
];

/** The text with whatever is secret left out, should an error message have picked it up. */
export function withoutSecrets(text: string): string {
  return SECRETS.reduce((rest, [what, instead]) => rest.replace(what, instead), text);
}
