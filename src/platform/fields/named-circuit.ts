import { ApiProperty } from '@nestjs/swagger';
import { CIRCUITS } from '../../domain/vehicles/circuits.js';

/** The circuit in an answer. It is left out where the vehicle has only one. */
export const NamedCircuit = (): PropertyDecorator =>
  ApiProperty({
    enum: CIRCUITS,
    required: false,
    description: 'The circuit that it is about; left out where the vehicle has only one',
  });
