// Actions that write into the shop file what is assumed of a program and no code states.
#pragma once

#include "protocol/action.h"
#include "protocol/client.h"
#include "text/text.h"

#include <filesystem>

namespace turnwright::protocol {

class OpenDocument;
class Server;

/// At the head of a program: one for each group of entries, and one for all where there are several. They
/// make a new shop file where none holds, if the client takes new files.
Json shop_writing_actions(const Server& server, const OpenDocument& document, const text::Range& range);

/// Whether an edit of this client may make a file.
bool takes_new_files(const Client& client);
/// The workspace folder that holds a program; empty when none does.
std::filesystem::path root_of(const Server& server, const std::filesystem::path& program);
/// Where files that hold for a program are made: the workspace folder that holds it, else its own folder, of
/// which nothing is read until the editor opens it. Empty: it lies nowhere.
struct HomeFolder {
    std::filesystem::path path;
    bool is_open = false;
};
HomeFolder home_of(const Server& server, const std::filesystem::path& program);
/// The shop or job file that lies beside a program in no workspace folder: it holds, and is not read. Empty:
/// none does.
std::filesystem::path unread_beside(const Server& server, const std::filesystem::path& program);

} // namespace turnwright::protocol
