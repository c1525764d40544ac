import { message } from './messages.js';
import { ConfigError, type Environment } from './environment.js';

/** Where metrics are answered. */
export interface MetricsAddress {
  host: string;
  port: number;
  /** Nobody asked for it by name: a process that finds the port taken does without. */
  isDefault: boolean;
}

/** Several processes on one machine share the default, and the first of them has it. */
const METRICS_ADDRESS = { host: '127.0.0.1', port: 9464, isDefault: true };

/** @throws ConfigError when the setting cannot be used */
export function readMetricsAddress(
  env: Environment,
  api: { host: string; port: number },
): MetricsAddress | null {
  const text = env.METRICS_ADDRESS ?? '';
  if (text === '') return api.port === METRICS_ADDRESS.port ? null : METRICS_ADDRESS;
  if (text === 'off') return null;
  const match = /^(.+):(\d{1,5})$/.exec(text);
  if (!match?.[1] || Number(match[2]) > 65535)
    throw new ConfigError(message('setting-metrics-address', { given: text }));
  // An IPv6 address is bracketed in writing, and not where it is listened on.
  const [host, port] = [match[1].replace(/^\[(.*)\]$/, '$1'), Number(match[2])];
  if (port !== 0 && port === api.port && host === api.host)
    throw new ConfigError(message('setting-metrics-address-taken', { given: text }));
  return { host, port, isDefault: false };
}
