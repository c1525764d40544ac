import { message } from './messages.js';
import { ConfigError, type Environment } from './environment.js';

/**
 * The passwords with which the migration step makes the two logins that the service runs with; null
 * where it makes none.
 *
 * @throws ConfigError when one is missing or cannot be used; the message holds no password
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
    // What else there is, PostgreSQL and the service might not write alike (SASLprep).
    if (!/^[\x21-\x7e]+$/.test(password ?? ''))
      throw new ConfigError(message('setting-login-password-characters', { name: name ?? '' }));
  }
  if (app === sweep) throw new ConfigError(message('setting-login-passwords-same'));
  return { app, sweep };
}
