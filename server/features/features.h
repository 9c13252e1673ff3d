// Editor abilities: small pure functions over one document. No JSON, no socket; positions in bytes.
//
// Every function takes a document after evaluate() and throws nothing for any text or position.
#pragma once

#include "features/completion.h"
#include "features/document.h"
#include "features/formatting.h"
#include "features/hints.h"
#include "features/hover.h"
#include "features/navigation.h"
#include "features/outline.h"
#include "features/rewriting.h"
#include "features/tokens.h"
#include "features/warnings.h"
