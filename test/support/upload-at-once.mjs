/**
 * Uploads files all at once, from a process of its own, so that a test can watch the service
 * meanwhile. Reads what to send as JSON from standard input, and writes each answer as JSON to
 * standard output.
 */
import { readFileSync } from 'node:fs';
import { request } from 'node:http';
import { json, text } from 'node:stream/consumers';

const { token, uploads } = await json(process.stdin);
// Read before the first connection is opened: the service waits for headers, and not for long.
const bodies = uploads.map(({ file, type }) => bodyOf(readFileSync(file), type));
const answers = await Promise.all(uploads.map(({ url, file }, index) => upload(url, file, bodies[index])));
process.stdout.write(JSON.stringify(answers));

function bodyOf(bytes, type) {
  if (type !== 'multipart/form-data') return { type, pieces: [bytes] };
  const head = 'content-disposition: form-data; name="file"; filename="photo.jpg"';
  return {
    type: 'multipart/form-data; boundary=border',
    pieces: [Buffer.from(`--border\r\n${head}\r\n\r\n`), bytes, Buffer.from('\r\n--border--\r\n')],
  };
}

function upload(url, file, { type, pieces }) {
  const began = performance.now();
  const headers = {
    authorization: `Bearer ${token}`,
    'content-type': type,
    'content-length': pieces.reduce((sum, piece) => sum + piece.length, 0),
  };
  return new Promise((resolve) => {
    const tell = (status, body) => resolve({ file, status, text: body, tookMs: performance.now() - began });
    const outgoing = request(url, { method: 'POST', headers, agent: false });
    outgoing.on('response', (answer) => {
      text(answer).then((body) => tell(answer.statusCode, body), tell.bind(null, 0));
    });
    // A status that no answer has: the connection broke. After an answer it tells nothing.
    outgoing.on('error', (error) => tell(0, String(error)));
    for (const piece of pieces) outgoing.write(piece);
    outgoing.end();
  });
}
