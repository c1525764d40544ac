/**
 * Secrets that must never reach a log: tokens of this service and others (even truncated), webhook
 * secrets, passwords in URLs, keys in a query. Each pattern is linear: none rescans the same text
 * from every next character.
 */
const SECRETS: [what: RegExp, instead: string][] = [
  [/wh_[A-Za-z0-9_-]{16,43}/g, 'wh_…'],
  [/wh[sl]_[A-Za-z0-9_-]{16,43}/g, 'wh…'],
  [/whsec_[A-Za-z0-9+/=_-]{16,}/g, 'whsec_…'],
  [/\beyJ[A-Za-z0-9_-]{8,}(?:\.[A-Za-z0-9_-]*){0,2}/g, '…'],
  // The code of a label, with which anybody can report.
  [/\/(l|vehicle-labels)\/[A-Za-z0-9_-]{43}/g, '/$1/…'],
  [/:\/\/[^\s/@"'\\]+@/g, '://…@'],
  [/([?&](?:token|secret|password|key|access_token)=)[^&\s"'\\]+/gi, '$1…'],
];

/** Removes secrets from a text, such as an error message that may quote one. */
export function withoutSecrets(text: string): string {
  return SECRETS.reduce((rest, [what, instead]) => rest.replace(what, instead), text);
}
