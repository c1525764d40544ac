import { Agent, buildConnector } from 'undici';
import { addressRefusal, AddressRefused, guardedLookup, isIpLiteral, type Reach } from './address-guard.js';

const CONNECT_WITHIN_MS = 5_000;

/**
 * An agent that connects only to allowed addresses. It checks the address that is really connected
 * to, whether given by name or as a literal.
 */
export function guardedAgent(allowLocal: boolean): Agent {
  const connectorOver = (isEncrypted: boolean): { reach: Reach; connector: buildConnector.connector } => {
    const reach = { isEncrypted, allowLocal };
    return { reach, connector: buildConnector({ lookup: guardedLookup(reach), timeout: CONNECT_WITHIN_MS }) };
  };
  const [encrypted, plain] = [connectorOver(true), connectorOver(false)];
  return new Agent({
    connect(options, callback) {
      const { reach, connector } = options.protocol === 'https:' ? encrypted : plain;
      const refusal = isIpLiteral(options.hostname) ? addressRefusal(options.hostname, reach) : null;
      if (refusal) callback(new AddressRefused(options.hostname, refusal), null);
      else connector(options, callback);
    },
  });
}
