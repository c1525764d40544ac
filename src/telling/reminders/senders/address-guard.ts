import ipaddr from 'ipaddr.js';
import { lookup as dnsLookup, type LookupAddress, type LookupAllOptions } from 'node:dns';
import type { LookupFunction } from 'node:net';

/** An address that no webhook may reach. */
export class AddressRefused extends Error {
  override name = 'AddressRefused';
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
export function addressRefusal(address: string, { isEncrypted, allowLocal }: Reach): string | null {
  const bare = address.startsWith('[') && address.endsWith(']') ? address.slice(1, -1) : address;
  if (!ipaddr.isValid(bare)) return 'is not an IP address';
  // Turns an IPv4 address that is written as IPv6 (::ffff:127.0.0.1) into what it is.
  const ip = ipaddr.process(bare);
  const range = ip.range();
  if (METADATA.has(ip.toString())) return 'is a metadata address';
  if (LOCAL_RANGES.has(range) && allowLocal) return null;
  if (range === 'loopback') return 'is a loopback address';
  if (range !== 'unicast') return `is not a public address (${range})`;
  if (ip instanceof ipaddr.IPv6 && !ip.match(IPV6_GLOBAL)) return 'is not a public address';
  return isEncrypted ? null : 'is a public address: only https:// is sent there';
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
          return callback(new AddressRefused(`${hostname} leads to ${address}, which ${refusal}`), '');
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
export function webhookAddressFault(address: string, allowLocal: boolean): string | null {
  if (!URL.canParse(address)) return 'is not a web address such as https://example.org/hooks/fleet';
  const url = new URL(address);
  if (url.protocol !== 'https:' && !(allowLocal && url.protocol === 'http:'))
    return `begins with ${url.protocol.slice(0, 20)}//; only https:// is sent to`;
  if (url.username !== '' || url.password !== '')
    return 'holds a user name or password; the signature is what the receiver should check';
  if (!allowLocal && LOCAL_NAME.test(url.hostname))
    return 'is this machine itself; a public address is needed';
  const reach = { isEncrypted: url.protocol === 'https:', allowLocal };
  const refusal = isIpLiteral(url.hostname) ? addressRefusal(url.hostname, reach) : null;
  return refusal && `leads to ${url.hostname}, which ${refusal}`;
}
