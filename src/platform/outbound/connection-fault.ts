import type { Message } from '../../domain/message.js';
import { AddressRefused } from './address-guard.js';
import { message } from './messages.js';

/** What the errors of connections, of TLS and of the libraries that send are called. */
const CONNECTIONS: readonly [names: RegExp, why: Message][] = [
  [/ECONNREFUSED/, message('connection-refused')],
  [/ENOTFOUND|EAI_AGAIN|EDNS|has no address/, message('connection-host-not-found')],
  [/EHOSTUNREACH|ENETUNREACH|EADDRNOTAVAIL/, message('connection-host-unreachable')],
  [/CERT|certificate|altnames|SELF_SIGNED|UNABLE_TO_/i, message('connection-certificate')],
  [/ETLS|EPROTO|STARTTLS|SSL/, message('connection-not-encrypted')],
  [/TIMEOUT|TIMEDOUT/, message('connection-too-slow')],
  [/ECONNRESET|EPIPE|UND_ERR_SOCKET|ECONNECTION|closed|hang up/i, message('connection-lost')],
];

/** Returns what went wrong with an attempt; the library's own words stand beside, in brackets. */
export function connectionFault(error: unknown): Message {
  if (error instanceof AddressRefused)
    return message('attempt-address-refused', { host: error.host, why: error.why });
  const detail = detailOf(error);
  const why = CONNECTIONS.find(([names]) => names.test(detail))?.[1] ?? message('connection-failed');
  return message('attempt-not-made', { why, detail });
}

/** The words of an error, short enough to keep. */
function detailOf(error: unknown): string {
  if (!(error instanceof Error)) return String(error).slice(0, 500);
  const { code } = error as { code?: string };
  const text = error.message || code || error.name;
  return storable(code && !text.includes(code) ? `${text} (${code})` : text);
}

/** Returns text as PostgreSQL can hold it, and no longer than is of use. */
export function storable(text: string): string {
  return text.replaceAll('\u0000', '').slice(0, 500);
}
