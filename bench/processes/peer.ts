import { servePeer } from '../peer/peer.js';
import { answering } from '../child.js';

const peer = await servePeer(process.env.BENCH_DATABASE_URL ?? '');

answering({ url: () => peer.url, memory: () => process.memoryUsage.rss() }, () => peer.close());
