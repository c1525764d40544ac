import ipaddr from 'ipaddr.js';
import { lookup as dnsLookup, type LookupAddress, type LookupAllOptions } from 'node:dns';
import type { LookupFunction } from 'node:net';
import type { Message } from '../../domain/message.js';
import { IN_LOGS, textOf } from '../words/render.js';
import { message } from './messages.js';

/** Thrown for an address that the service may not connect to. */
export class AddressRefused extends Error {
  override name = 'AddressRefused';

  constructor(
    readonly host: string,
    readonly why: Message,
  ) {
    super(`${host} ${textOf(why, IN_LOGS)}`);
  }
}

/**
 * Addresses in public or private ranges where hosting providers serve data about the machine
 * itself.
 */
const METADATA = new Set(['168.63.129.16', 'fd00:ec2::254']);

/**
 * Ranges that `WEEPHOLE_ALLOW_LOCAL_WEBHOOKS` opens: this machine, and private networks (RFC 1918,
 * RFC 4193).
 */
const LOCAL_RANGES = new Set<string>(['loopback', 'private', 'uniqueLocal']);

/**
 * Which addresses may be connected to. Over https: public ones, and local ones if the settings
 * allow it. Over plain http, which anyone in between can read: only local ones.
 */
export interface Reach {
  isEncrypted: boolean;
  allowLocal: boolean;
}

/** Contains all globally routable unicast addresses of IPv6. Others may lead to IPv4 or nowhere. */
const IPV6_GLOBAL = ipaddr.IPv6.parseCIDR('2000::/3');

/**
 * Why an IP address may not be connected to; null when it may.
 *
 * Of the addresses that are not public unicast, only loopback and private ones can be allowed. All
 * others (link-local, shared, multicast, reserved, translated) belong to the operator's own
 * network. There, a fleet could make the service talk to machines that trust it.
 */
export function addressRefusal(address: string, { isEncrypted, allowLocal }: Reach): Message | null {
  const bare = address.startsWith('[') && address.endsWith(']') ? address.slice(1, -1) : address;
  if (!ipaddr.isValid(bare)) return message('ip-not-an-address');
  // Turns an IPv4 address in IPv6 notation (::ffff:127.0.0.1) into plain IPv4.
  const ip = ipaddr.process(bare);
  const range = ip.range();
  if (METADATA.has(ip.toString())) return message('ip-metadata');
  if (LOCAL_RANGES.has(range) && allowLocal) return null;
  if (range === 'loopback') return message('ip-loopback');
  if (range !== 'unicast') return message('ip-range-not-public', { range });
  if (ip instanceof ipaddr.IPv6 && !ip.match(IPV6_GLOBAL)) return message('ip-not-public');
  return isEncrypted ? null : message('ip-public-unencrypted');
}

export function isIpLiteral(hostname: string): boolean {
  return ipaddr.isValid(hostname.replace(/^\[|\]$/g, ''));
}

type ResolveAll = (
  hostname: string,
  options: LookupAllOptions,
  done: (error: NodeJS.ErrnoException | null, addresses: LookupAddress[]) => void,
) => void;

/**
 * Resolves a name for a new connection, and fails if it leads to a forbidden address. The
 * connection uses exactly these addresses, so it does not help an attacker if the name resolves
 * differently a moment later.
 */
export function guardedLookup(reach: Reach, resolve: ResolveAll = dnsLookup): LookupFunction {
  return (hostname, options, callback) => {
    resolve(hostname, { ...options, all: true }, (error, addresses) => {
      const [first] = addresses ?? [];
      if (error || !first) return callback(error ?? new Error(`${hostname} has no address`), '');
      for (const { address } of addresses) {
        const refusal = addressRefusal(address, reach);
        if (refusal)
          return callback(
            new AddressRefused(hostname, message('address-leads-to', { host: address, why: refusal })),
            '',
          );
      }
      if (options.all) callback(null, addresses);
      else callback(null, first.address, first.family);
    });
  };
}

const LOCAL_NAME = /(^|\.)localhost\.?$/i;

/**
 * Why the service cannot talk to an address that a fleet gave; null when it can. A name is checked
 * again at every connection.
 *
 * @param allowLocal allows loopback and private addresses, and plain http to them
 */
export function webAddressFault(address: string, allowLocal: boolean): Message | null {
  if (!URL.canParse(address)) return message('address-not-web');
  const url = new URL(address);
  if (url.protocol !== 'https:' && !(allowLocal && url.protocol === 'http:'))
    return message('address-scheme', { scheme: `${url.protocol.slice(0, 20)}//` });
  if (url.username !== '' || url.password !== '') return message('address-with-password');
  if (!allowLocal && LOCAL_NAME.test(url.hostname)) return message('address-this-machine');
  const reach = { isEncrypted: url.protocol === 'https:', allowLocal };
  const refusal = isIpLiteral(url.hostname) ? addressRefusal(url.hostname, reach) : null;
  return refusal && message('address-leads-to', { host: url.hostname, why: refusal });
}
