/**
 * Uploads files all at once, from a process of its own, while a test watches the service. Reads
 * what to send as JSON from standard input, and writes each response as JSON to standard output.
 */
import { readFileSync } from 'node:fs';
import { request } from 'node:http';
import { json, text } from 'node:stream/consumers';

const { token, uploads } = await json(process.stdin);
// Read the files before opening the first connection: the service does not wait long for headers.
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
    // Status 0 means that the connection broke. After a response, this reports nothing.
    outgoing.on('error', (error) => tell(0, String(error)));
    for (const piece of pieces) outgoing.write(piece);
    outgoing.end();
  });
}
