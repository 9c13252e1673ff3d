// Warnings on their way to the client: what was told of each open program, what is held back while a line is
// typed, what is told in parts.
#pragma once

#include "protocol/diagnostic.h"
#include "protocol/open_document.h"
#include "protocol/settings.h"
#include "protocol/shop_files.h"
#include "rpc/rpc.h"

#include <filesystem>
#include <functional>
#include <map>
#include <string>

namespace turnwright::protocol {

struct Client;

using OpenDocuments = std::map<std::string, std::unique_ptr<OpenDocument>>; ///< By normal URI

class Publishing {
public:
    /// What it knows of the server. All of it outlives this.
    struct Around {
        rpc::Endpoint& endpoint;
        const Client& client;
        const Settings& settings;
        const ShopFiles& shop_files;
        OpenDocuments& documents;
        /// Folder with a page for each warning, warnings/<id>.md; empty when there is none.
        const std::filesystem::path& docs_folder;
        /// Its results, with the present text of what it calls.
        std::function<const features::Document&(OpenDocument&)> evaluate;
    };
    explicit Publishing(Around around) : around_(std::move(around)) {}

    /// Tells one thing that waits to be told, and sees to being called again in time; false when there is
    /// none.
    bool tell_one();
    /// No warning outlives its document.
    void take_back(const OpenDocument& document);
    /// The cursor is in this line, or the text was saved: what is held back may be told.
    void cursor_at(OpenDocument& document, std::uint32_t line);
    void saved(OpenDocument& document);
    void ask_to_refresh();

    /// What a client that pulls is answered: the diagnostics and their id, in `reported` and `result_id`.
    void bring_up_to_date(OpenDocument& document);
    /// What the first part of a very long program shows while the rest has not been looked at, for a client
    /// that can be asked to pull again; none when there is no such part.
    std::optional<std::string> first_part(OpenDocument& document);
    /// All warnings of a program that nobody types, in the client's positions, as JSON text.
    std::string all_of(OpenDocument& document);
    Diagnostic diagnostic_of(const OpenDocument& document, features::Warning warning);
    /// Never used before, for a report that can be named again.
    std::string new_result_id() { return std::to_string(++last_result_id_); }

private:
    void publish(OpenDocument& document);
    std::string diagnostics(OpenDocument& document);
    /// What a key in a long program shows before what hangs on the file is found; that stands meanwhile as it
    /// was told. None: all is found at once.
    std::optional<std::string> diagnostics_of_blocks(OpenDocument& document);
    std::string shown(const OpenDocument& document, std::vector<features::Warning> all, Calm& calm);
    std::string written_of(const OpenDocument& document, std::vector<features::Warning> warnings);
    void wake_in_time();
    std::string page_of_warning(const std::string& id);
    /// `diagnostics` as JSON text.
    void tell(const std::string& uri, std::optional<std::int64_t> version, std::string_view diagnostics);
    /// What is wrong in the shop files that were read, in those files.
    void tell_shop_problems();

    Around around_;
    std::map<std::string, std::string> pages_;         ///< Warning id to URI
    std::map<std::string, std::string> shop_problems_; ///< What the client was told of each shop file, by URI
    std::uint64_t shop_stamp_told_ = 0;                ///< Of the shop files, then
    std::uint64_t last_result_id_ = 0;
};

} // namespace turnwright::protocol
