// Makes the LSP meta-model from the type declarations that the package vscode-languageserver-protocol publishes.
// Its form is the package's metaModel.schema.json; the package carries that schema, but no model.
// Usage: node make_model.js OUT.json
'use strict';
const fs = require('fs');
const path = require('path');
const ts = require('typescript');
const published = require('vscode-languageserver-protocol');

const folderOf = (name) => path.join(__dirname, 'node_modules', name);
const declarationFiles = () => {
    const protocol = path.join(folderOf('vscode-languageserver-protocol'), 'lib', 'common');
    const files = fs.readdirSync(protocol).filter((f) => /^protocol(\..+)?\.d\.ts$/.test(f)).map((f) => path.join(protocol, f));
    files.push(path.join(folderOf('vscode-languageserver-types'), 'lib', 'umd', 'main.d.ts'));
    // Progress tokens and log traces belong to the base protocol.
    files.push(path.join(folderOf('vscode-jsonrpc'), 'lib', 'common', 'connection.d.ts'));
    return files;
};

const baseTypes = new Set(['integer', 'uinteger', 'decimal', 'DocumentUri', 'URI']);
const model = {
    metaData: { version: require('vscode-languageserver-protocol/package.json').version },
    requests: [], notifications: [], structures: [], enumerations: [], typeAliases: [],
};

const or = (items) => (items.length === 1 ? items[0] : { kind: 'or', items });
const base = (name) => ({ kind: 'base', name });

function typeOf(node) {
    switch (node.kind) {
    case ts.SyntaxKind.StringKeyword: return base('string');
    case ts.SyntaxKind.NumberKeyword: return base('decimal');
    case ts.SyntaxKind.BooleanKeyword: return base('boolean');
    case ts.SyntaxKind.VoidKeyword: return base('null');
    case ts.SyntaxKind.AnyKeyword:
    case ts.SyntaxKind.UnknownKeyword: return { kind: 'reference', name: 'LSPAny' };
    case ts.SyntaxKind.ObjectKeyword: return { kind: 'reference', name: 'LSPObject' };
    case ts.SyntaxKind.ParenthesizedType: return typeOf(node.type);
    case ts.SyntaxKind.ArrayType: return { kind: 'array', element: typeOf(node.elementType) };
    case ts.SyntaxKind.TupleType: return { kind: 'tuple', items: node.elements.map(typeOf) };
    case ts.SyntaxKind.UnionType: return or(node.types.map(typeOf));
    case ts.SyntaxKind.IntersectionType: return { kind: 'and', items: node.types.map(typeOf) };
    case ts.SyntaxKind.LiteralType: return literalOf(node.literal);
    case ts.SyntaxKind.TypeLiteral: return objectOf(node);
    case ts.SyntaxKind.TypeReference: return referenceOf(node);
    case ts.SyntaxKind.TypeQuery: return { kind: 'constant', name: node.exprName.getText() };
    case ts.SyntaxKind.TypeOperator: return typeOf(node.type); // readonly
    default: return { kind: 'unsupported', text: node.getText() };
    }
}

function literalOf(node) {
    if (node.kind === ts.SyntaxKind.NullKeyword) return base('null');
    if (node.kind === ts.SyntaxKind.TrueKeyword) return { kind: 'booleanLiteral', value: true };
    if (node.kind === ts.SyntaxKind.FalseKeyword) return { kind: 'booleanLiteral', value: false };
    if (ts.isStringLiteralLike(node)) return { kind: 'stringLiteral', value: node.text };
    return { kind: 'integerLiteral', value: Number(node.getText()) };
}

function objectOf(node) {
    const index = node.members.find(ts.isIndexSignatureDeclaration);
    const properties = propertiesOf(node);
    if (index && properties.length === 0)
        return { kind: 'map', key: typeOf(index.parameters[0].type), value: typeOf(index.type) };
    return { kind: 'literal', value: { properties } };
}

function propertiesOf(node) {
    return node.members.filter(ts.isPropertySignature).map((member) => {
        const property = { name: member.name.text, type: typeOf(member.type) };
        if (member.questionToken) property.optional = true;
        return property;
    });
}

function referenceOf(node) {
    const name = ts.isQualifiedName(node.typeName) ? node.typeName.right.text : node.typeName.text;
    const given = node.typeArguments || [];
    if (name === 'Array' || name === 'ReadonlyArray') return { kind: 'array', element: typeOf(given[0]) };
    if (name === 'Record') return { kind: 'map', key: typeOf(given[0]), value: typeOf(given[1]) };
    return baseTypes.has(name) ? base(name) : { kind: 'reference', name };
}

// "T = any" leaves room for experimental values.
const withoutGenerics = (declaration, type) => {
    const generic = new Set((declaration.typeParameters || []).map((p) => p.name.text));
    return JSON.parse(JSON.stringify(type), (key, value) =>
        value && value.kind === 'reference' && generic.has(value.name) ? { kind: 'reference', name: 'LSPAny' } : value);
};

function addInterface(node) {
    const heritage = (node.heritageClauses || []).flatMap((clause) => clause.types);
    model.structures.push(withoutGenerics(node, {
        name: node.name.text,
        extends: heritage.map((type) => ({ kind: 'reference', name: type.expression.text })),
        properties: propertiesOf(node),
    }));
}

function addAlias(node) {
    if (baseTypes.has(node.name.text)) return;
    model.typeAliases.push(withoutGenerics(node, { name: node.name.text, type: typeOf(node.type) }));
}

// namespace DocumentDiagnosticReportKind { const Full = "full"; }, named as typeof DocumentDiagnosticReportKind.Full.
const constants = new Map();
function addConstants(node) {
    for (const statement of node.body.statements || []) {
        if (!ts.isVariableStatement(statement)) continue;
        for (const { name, initializer, type } of statement.declarationList.declarations)
            if (initializer || (type && type.kind === ts.SyntaxKind.LiteralType))
                constants.set(`${node.name.text}.${name.text}`, initializer ? literalOf(initializer) : typeOf(type));
    }
}
const withConstants = (type) => JSON.parse(JSON.stringify(type), (key, value) => {
    if (!value || value.kind !== 'constant') return value;
    return constants.get(value.name) || { kind: 'unsupported', text: `typeof ${value.name}` };
});

// namespace HoverRequest { const method: 'textDocument/hover'; const type: ProtocolRequestType<...>; }
function addMessage(node) {
    const constants = {};
    for (const statement of node.body.statements || [])
        if (ts.isVariableStatement(statement))
            for (const declaration of statement.declarationList.declarations)
                constants[declaration.name.text] = declaration.type;
    if (!constants.method || !constants.type || !ts.isTypeReferenceNode(constants.type)) return;
    const kind = constants.type.typeName.getText();
    const given = (constants.type.typeArguments || []).map(typeOf);
    const message = { method: constants.method.literal.text, messageDirection: published[node.name.text]?.messageDirection || 'both' };
    if (kind === 'ProtocolRequestType') model.requests.push({ ...message, params: given[0], result: given[1] });
    else if (kind === 'ProtocolRequestType0') model.requests.push({ ...message, result: given[0] });
    else if (kind === 'ProtocolNotificationType') model.notifications.push({ ...message, params: given[0] });
    else if (kind === 'ProtocolNotificationType0') model.notifications.push(message);
    else if (kind !== 'RegistrationType') throw new Error(`${node.name.text}: what is ${kind}?`);
}

for (const file of declarationFiles()) {
    const source = ts.createSourceFile(file, fs.readFileSync(file, 'utf8'), ts.ScriptTarget.Latest, true);
    for (const statement of source.statements) {
        if (ts.isInterfaceDeclaration(statement)) addInterface(statement);
        else if (ts.isTypeAliasDeclaration(statement)) addAlias(statement);
        else if (ts.isModuleDeclaration(statement) && statement.body) {
            addConstants(statement);
            addMessage(statement);
        }
    }
}
fs.writeFileSync(process.argv[2], JSON.stringify(withConstants(model), null, 1));
