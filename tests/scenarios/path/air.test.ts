import { AIR } from './expectations.ts';
import { expectPaths } from './expect-path.ts';

expectPaths(AIR);
