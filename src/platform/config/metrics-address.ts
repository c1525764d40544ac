import { message } from './messages.js';
import { ConfigError, type Environment } from './environment.js';

/** The address on which metrics are served. */
export interface MetricsAddress {
  host: string;
  port: number;
  /**
   * True when nobody chose this address: a process that finds the port taken then runs without
   * metrics.
   */
  isDefault: boolean;
}

/** The default address. If several processes on a machine share it, the first one gets it. */
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
  // An IPv6 address has brackets in a URL, but not where it is bound.
  const [host, port] = [match[1].replace(/^\[(.*)\]$/, '$1'), Number(match[2])];
  if (port !== 0 && port === api.port && host === api.host)
    throw new ConfigError(message('setting-metrics-address-taken', { given: text }));
  return { host, port, isDefault: false };
}
