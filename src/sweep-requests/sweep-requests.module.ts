import { Module } from '@nestjs/common';
import { SweepCalls } from './sweep-calls.js';

@Module({ providers: [SweepCalls], exports: [SweepCalls] })
export class SweepRequestsModule {}
