import {
  DeleteObjectCommand,
  GetObjectCommand,
  NoSuchKey,
  PutObjectCommand,
  S3Client,
} from '@aws-sdk/client-s3';
import { Logger } from '@nestjs/common';
import { createReadStream } from 'node:fs';
import { rm } from 'node:fs/promises';
import type { Readable } from 'node:stream';
import { type ByteRange, FileMissing, FileStore } from './file-store.js';

/** Sends the S3 client's messages to the service's log instead of the console. */
function sdkLogger() {
  const logger = new Logger('storage');
  const silent = (): void => undefined;
  return {
    ...{ trace: silent, debug: silent, info: silent },
    warn: (what: unknown) => logger.warn(String(what)),
    error: (what: unknown) => logger.error(String(what)),
  };
}

export interface S3Settings {
  bucket: string;
  region: string;
  /** Null means AWS's own. */
  endpoint: string | null;
}

/**
 * Files in a bucket of an S3-compatible store. The client finds its credentials in the usual AWS
 * way.
 */
export class S3Store extends FileStore {
  private readonly client: S3Client;

  constructor(private readonly settings: S3Settings) {
    super();
    this.client = new S3Client({
      region: settings.region,
      ...(settings.endpoint === null ? {} : { endpoint: settings.endpoint, forcePathStyle: true }),
      maxAttempts: 3,
      // Most S3-compatible stores do not support checksums in trailers yet. The SHA-256 of the
      // bytes is signed anyway.
      requestChecksumCalculation: 'WHEN_REQUIRED',
      responseChecksumValidation: 'WHEN_REQUIRED',
      logger: sdkLogger(),
      requestHandler: { connectionTimeout: 5_000, requestTimeout: 60_000 },
    });
  }

  async take(key: string, localPath: string, sizeBytes: number): Promise<void> {
    await this.client.send(
      new PutObjectCommand({
        Bucket: this.settings.bucket,
        Key: key,
        Body: createReadStream(localPath),
        ContentLength: sizeBytes,
      }),
    );
    await rm(localPath, { force: true });
  }

  async open(key: string, range?: ByteRange): Promise<Readable> {
    try {
      const { Body } = await this.client.send(
        new GetObjectCommand({
          Bucket: this.settings.bucket,
          Key: key,
          ...(range ? { Range: `bytes=${range.start}-${range.end}` } : {}),
        }),
      );
      return Body as Readable;
    } catch (error) {
      if (error instanceof NoSuchKey) throw new FileMissing(key);
      throw error;
    }
  }

  async remove(key: string): Promise<void> {
    await this.client.send(new DeleteObjectCommand({ Bucket: this.settings.bucket, Key: key }));
  }

  /** Always true: a bucket has no folders, and when it cannot be reached, each request fails. */
  async reaches(): Promise<boolean> {
    return Promise.resolve(true);
  }

  override close(): void {
    this.client.destroy();
  }
}
