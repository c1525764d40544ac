import ipaddr from 'ipaddr.js';
import { lookup as dnsLookup, type LookupAddress, type LookupAllOptions } from 'node:dns';
import type { LookupFunction } from 'node:net';
import type { Message } from '../../../domain/message.js';
import { IN_LOGS, textOf } from '../../../platform/words/render.js';
import { message } from './address-messages.js';

/** An address that no webhook may reach. */
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
 * Addresses in public and in private ranges at which hosting providers answer about the machine
 * itself.
 */
const METADATA = new Set(['168.63.129.16', 'fd00:ec2::254']);

/**
 * What `WEEPHOLE_ALLOW_LOCAL_WEBHOOKS` opens: this machine, and the ranges for networks of one's
 * own (RFC 1918, RFC 4193).
 */
const LOCAL_RANGES = new Set<string>(['loopback', 'private', 'uniqueLocal']);

/**
 * Which addresses may be connected to: over https public ones, and local ones where the settings
 * allow it; over plain http, which whoever is in between can read, local ones alone.
 */
export interface Reach {
  isEncrypted: boolean;
  allowLocal: boolean;
}

/**
 * All globally routable unicast addresses of IPv6 are in here; what is outside may lead to IPv4 or
 * to nowhere.
 */
const IPV6_GLOBAL = ipaddr.IPv6.parseCIDR('2000::/3');

/**
 * Why an IP address may not be connected to; null when it may.
 *
 * Of what is not a public unicast address, only loopback and private ones may ever be reached:
 * all else (link-local, shared, multicast, reserved, translated) is the operator's own network,
 * where a webhook could be made to speak to what trusts it.
 */
export function addressRefusal(address: string, { isEncrypted, allowLocal }: Reach): Message | null {
  const bare = address.startsWith('[') && address.endsWith(']') ? address.slice(1, -1) : address;
  if (!ipaddr.isValid(bare)) return message('ip-not-an-address');
  // Turns an IPv4 address that is written as IPv6 (::ffff:127.0.0.1) into what it is.
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
 * Resolves a name for a connection that is about to be made, and refuses when it leads to a
 * forbidden address. The connection uses these very addresses, so a name that is resolved
 * differently a moment later gains nothing.
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
 * Why a webhook cannot be sent to an address; null when it can. A name is looked at again each time
 * it is connected to.
 *
 * @param allowLocal lets loopback and private addresses through, and plain http to those
 */
export function webhookAddressFault(address: string, allowLocal: boolean): Message | null {
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
