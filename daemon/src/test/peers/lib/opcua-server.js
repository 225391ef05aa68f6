import { X509Certificate } from 'node:crypto';
import { mkdtempSync, readFileSync, readdirSync, rmSync, statSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { OPCUACertificateManager } from 'node-opcua-certificate-manager';
import { MessageSecurityMode, SecurityPolicy } from 'node-opcua-secure-channel';
import { OPCUAServer } from 'node-opcua-server';
import { COMPANIONS } from './companion.js';
import { UsageError } from './options.js';

const HOST = '127.0.0.1';
const STOP_MS = 1000;
const MAX_SESSIONS = 20;

/**
 * Starts a server on loopback. In clear it lets anybody in; secured it speaks SignAndEncrypt with
 * Basic256Sha256 alone, to clients whose certificate is among the trusted, for one user.
 *
 * @param options port, security, certificate, key, trust, user, password, companion
 * @param uri the application's URI where there is no certificate to name it
 * @param build makes the nodes, given the address space, once it is there
 */
export async function serve(options, uri, build) {
  const store = mkdtempSync(join(tmpdir(), 'opcua-peer-'));
  process.on('exit', () => rmSync(store, { recursive: true, force: true }));
  const trusted = await manager(join(store, 'pki'), options.security ? options.trust : '');
  const users = await manager(join(store, 'users'), '');
  const port = options.port === 0 ? await freePort() : options.port;
  const server = new OPCUAServer({
    host: HOST,
    hostname: HOST,
    port,
    serverInfo: {
      applicationUri: options.security ? applicationUri(options.certificate) : uri,
      productUri: uri,
      applicationName: { text: uri.replace(/^urn:/, '') },
    },
    serverCapabilities: { maxSessions: MAX_SESSIONS },
    maxConnectionsPerEndpoint: MAX_SESSIONS,
    serverCertificateManager: trusted,
    userCertificateManager: users,
    isAuditing: false,
    ...(options.companion ? { nodeset_filename: COMPANIONS } : {}),
    ...(options.security ? secured(options) : inClear()),
  });
  await server.initialize();
  build(server.engine.addressSpace);
  await server.start();
  return {
    says: { endpoint: `opc.tcp://${HOST}:${port}`, port },
    close: () => server.shutdown(STOP_MS),
  };
}

function inClear() {
  return {
    securityPolicies: [SecurityPolicy.None],
    securityModes: [MessageSecurityMode.None],
    allowAnonymous: true,
  };
}

function secured(options) {
  for (const name of ['certificate', 'key', 'trust', 'user', 'password']) {
    if (options[name] === '') {
      throw new UsageError(`--security needs --${name === 'password' ? 'password-file' : name}`);
    }
  }
  return {
    securityPolicies: [SecurityPolicy.Basic256Sha256],
    securityModes: [MessageSecurityMode.SignAndEncrypt],
    allowAnonymous: false,
    certificateFile: options.certificate,
    privateKeyFile: options.key,
    userManager: {
      isValidUser: (user, password) => user === options.user && password === options.password,
    },
  };
}

async function manager(rootFolder, trust) {
  const made = new OPCUACertificateManager({
    rootFolder,
    automaticallyAcceptUnknownCertificate: false,
    disableFileWatchers: true,
  });
  await made.initialize();
  for (const file of trust === '' ? [] : files(trust)) {
    await made.trustCertificate(new X509Certificate(readFileSync(file)).raw);
  }
  return made;
}

function files(trust) {
  return statSync(trust).isDirectory() ? readdirSync(trust).map((f) => join(trust, f)) : [trust];
}

// A session has to repeat the URI that the certificate names (OPC 10000-4, 6.1.3).
function applicationUri(file) {
  const names = new X509Certificate(readFileSync(file)).subjectAltName ?? '';
  const uri = /URI:([^,\s]+)/.exec(names);
  if (uri === null) {
    throw new UsageError(`--certificate: ${file} names no application URI`);
  }
  return uri[1];
}

function freePort() {
  return new Promise((resolve, reject) => {
    const probe = createServer();
    probe.once('error', reject);
    probe.listen(0, HOST, () => {
      const { port } = probe.address();
      probe.close(() => resolve(port));
    });
  });
}
