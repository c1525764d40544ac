import ipaddr from 'ipaddr.js';
import { lookup as dnsLookup, type LookupAddress, type LookupAllOptions } from 'node:dns';
import type { LookupFunction } from 'node:net';

/** An address that no webhook may reach. */
export class AddressRefused extends Error {
  override name = 'AddressRefused';
}

/** Addresses in public ranges at which hosting providers answer about the machine itself. */
const METADATA = new Set(['168.63.129.16']);

/** All globally routable unicast addresses of IPv6 are in here; what is outside may lead to IPv4 or to nowhere. */
const IPV6_GLOBAL = ipaddr.IPv6.parseCIDR('2000::/3');

/**
 * Why an IP address may not be connected to; null when it may.
 *
 * Only public unicast addresses may: everything else (loopback, private, link-local, unique-local, shared, multicast, reserved,
 * translated) is the operator's own network, where a webhook could be made to speak to what trusts it.
 *
 * @param allowLoopback lets loopback addresses through, and nothing more
 */
export function addressRefusal(address: string, allowLoopback: boolean): string | null {
  const bare = address.startsWith('[') && address.endsWith(']') ? address.slice(1, -1) : address;
  if (!ipaddr.isValid(bare)) return 'is not an IP address';
  // Turns an IPv4 address that is written as IPv6 (::ffff:127.0.0.1) into what it is.
  const ip = ipaddr.process(bare);
  const range = ip.range();
  if (range === 'loopback') return allowLoopback ? null : 'is a loopback address';
  if (METADATA.has(ip.toString())) return 'is a metadata address';
  if (range !== 'unicast') return `is not a public address (${range})`;
  if (ip instanceof ipaddr.IPv6 && !ip.match(IPV6_GLOBAL)) return 'is not a public address';
  return null;
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
 * Resolves a name for a connection that is about to be made, and refuses when it leads to a forbidden address. The connection uses
 * these very addresses, so a name that is resolved differently a moment later gains nothing.
 */
export function guardedLookup(allowLoopback: boolean, resolve: ResolveAll = dnsLookup): LookupFunction {
  return (hostname, options, callback) => {
    resolve(hostname, { ...options, all: true }, (error, addresses) => {
      const [first] = addresses ?? [];
      if (error || !first) return callback(error ?? new Error(`${hostname} has no address`), '');
      for (const { address } of addresses) {
        const refusal = addressRefusal(address, allowLoopback);
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
 * Why a webhook cannot be sent to an address; null when it can. A name is looked at again each time it is connected to.
 *
 * @param allowLocal lets plain http and loopback through
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
  const refusal = isIpLiteral(url.hostname) ? addressRefusal(url.hostname, allowLocal) : null;
  return refusal && `leads to ${url.hostname}, which ${refusal}`;
}
