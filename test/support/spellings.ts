const encoded = (text: string): string =>
  [...text].map((letter) => `%${letter.charCodeAt(0).toString(16).padStart(2, '0')}`).join('');

/** Percent-encodes the first letter of each part of a path. */
const encodedParts = (path: string): string =>
  path.replace(/\/([A-Za-z])/g, (_, letter: string) => `/${encoded(letter)}`);

/**
 * Other spellings of a request target, by name. Those in `SAME` are the same path to the router.
 * The others are not, and must not become so without being guarded.
 */
export function spellingsOf(path: string): Record<string, string> {
  const [, first = '', ...rest] = path.split('/');
  const tail = rest.length === 0 ? '' : `/${rest.join('/')}`;
  return {
    'a letter as a percent code': `/${encoded(first.charAt(0))}${first.slice(1)}${tail}`,
    'a letter of each part as a percent code': encodedParts(path),
    'the first part as percent codes': `/${encoded(first)}${tail}`,
    'an absolute address': `http://x${path}`,
    'an absolute address in upper case': `HTTPS://X:1${path}`,
    'an absolute address with a login': `http://health:live@x${path}`,
    'an absolute address with a percent code': `http://x${encodedParts(path)}`,
    'a fragment': `${path}#`,
    'two slashes at the start': `/${path}`,
    'two slashes within': `/${first}/${tail || '/'}`,
    'two slashes after an absolute address': `http://x/${path}`,
    'a dot segment at the start': `/.${path}`,
    'a dot segment within': `/${first}/.${tail}`,
    'two dots after a public path': `/health/..${path}`,
    'an encoded dot segment': `/%2e${path}`,
    'encoded dots after a public path': `/health/live/%2e%2e/%2E%2E${path}`,
    'dots with an encoded slash': `/docs/..%2f${path.slice(1)}`,
    'upper case': path.toUpperCase(),
    'upper case of the first part': `/${first.toUpperCase()}${tail}`,
    'a trailing slash': `${path}/`,
    'a trailing dot': `${path}/.`,
    'an encoded slash': `/${first}%2f${tail.slice(1)}`,
    'an encoded percent sign': `/%25${encoded(first.charAt(0)).slice(1)}${first.slice(1)}${tail}`,
    'a semicolon': `${path};/health/live`,
    backslashes: path.replaceAll('/', '\\'),
    'no slash at the start': path.slice(1),
    'an encoded NUL': `${path}%00`,
    'a public path before it': `/health/live?${path}`,
  };
}

/** The spellings that the router treats as the plain path. */
export const SAME = [
  'a letter as a percent code',
  'a letter of each part as a percent code',
  'the first part as percent codes',
  'an absolute address',
  'an absolute address in upper case',
  'an absolute address with a login',
  'an absolute address with a percent code',
  'a fragment',
];
