import { ConfigError } from './environment.js';
import { message } from './messages.js';

/**
 * The address that people reach the service at, without a path; null when it is not set.
 *
 * @throws ConfigError
 */
export function publicUrl(given: string): string | null {
  if (given === '') return null;
  const url = URL.canParse(given) ? new URL(given) : null;
  if (url !== null && /^https?:$/.test(url.protocol) && [url.origin, `${url.origin}/`].includes(given))
    return url.origin;
  throw new ConfigError(message('setting-public-url', { given }));
}
