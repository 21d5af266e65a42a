import { expose } from 'comlink';
import { createAnalysis } from './analysis.ts';

expose(createAnalysis());
