import { message } from './messages.js';
import { ConfigError, type Environment } from './environment.js';

/**
 * Reads the passwords for the two logins that the migration step creates for the service; null when
 * it creates none.
 *
 * @throws ConfigError when one is missing or cannot be used; the message contains no password
 */
export function readLoginPasswords(env: Environment): { app: string; sweep: string } | null {
  const app = env.APP_LOGIN_PASSWORD ?? '';
  const sweep = env.SWEEP_LOGIN_PASSWORD ?? '';
  if (app === '' && sweep === '') return null;
  for (const [name, password] of [
    ['APP_LOGIN_PASSWORD', app],
    ['SWEEP_LOGIN_PASSWORD', sweep],
  ]) {
    if (password === '')
      throw new ConfigError(message('setting-login-password-missing', { name: name ?? '' }));
    // PostgreSQL and the service might encode other characters differently (SASLprep).
    if (!/^[\x21-\x7e]+$/.test(password ?? ''))
      throw new ConfigError(message('setting-login-password-characters', { name: name ?? '' }));
  }
  if (app === sweep) throw new ConfigError(message('setting-login-passwords-same'));
  return { app, sweep };
}
