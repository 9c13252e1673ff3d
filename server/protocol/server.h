// The language server of one client: its lifecycle, its open programs, and what is told about them.
#pragma once

#include "protocol/client.h"
#include "protocol/closed_programs.h"
#include "protocol/diagnostic.h"
#include "protocol/open_document.h"
#include "protocol/settings.h"
#include "protocol/shop_files.h"
#include "rpc/rpc.h"

#include <filesystem>
#include <map>
#include <memory>
#include <set>
#include <string>

namespace turnwright::protocol {

struct Feature;

struct ServerOptions {
    std::string version;
    rpc::Log log = [](std::string_view) {};
    /// Folder with a page for each warning, warnings/<id>.md; empty when there is none.
    std::filesystem::path docs_folder;
    rpc::Limits limits;
};

class Server {
public:
    explicit Server(ServerOptions options);
    ~Server();

    /// Serves until the client leaves. The exit code: 0 after `shutdown`, otherwise 1.
    int run(rpc::ByteStream& stream);

    // For the adapters.
    const Client& client() const { return client_; }
    const Settings& settings() const { return settings_; }
    const ServerOptions& options() const { return options_; }
    const ShopFiles& shop_files() const { return shop_files_; }
    rpc::Endpoint& endpoint() { return endpoint_; }
    std::map<std::string, std::unique_ptr<OpenDocument>>& documents() { return documents_; }
    /// The open document of a `textDocument` member, evaluated. Throws invalid_params when it is not open and
    /// content_modified when its text was lost.
    OpenDocument& document(const In& text_document);
    /// The same without evaluating; nullptr when it is not open.
    OpenDocument* find_document(const std::string& uri);
    /// Its results, with the present text of the programs it calls in other open files.
    const features::Document& evaluate(OpenDocument& document);
    /// The program files of the workspace folders, open ones with their present text.
    const features::Workspace& workspace();
    /// Shows a command's edits to the client, or the reason why there are none.
    void apply(OpenDocument& document, const std::string& title, const features::Rewrite& rewrite);
    /// All warnings of an open document, in the client's positions, as JSON text.
    std::string diagnostics(OpenDocument& document);
    std::string diagnostics_of(const OpenDocument& document, std::vector<features::Warning> warnings);
    Diagnostic diagnostic_of(const OpenDocument& document, features::Warning warning);
    /// What the first part of a very long program shows while the rest has not been looked at, for a client
    /// that can be asked to pull again; none when there is no such part.
    std::optional<std::string> first_part(OpenDocument& document);
    /// Its diagnostics and the id they are reported under, in `reported` and `result_id`.
    void bring_up_to_date(OpenDocument& document);
    ClosedPrograms& closed_programs() { return closed_programs_; }
    /// A program that is not open, as if it were.
    OpenDocument closed_document(const std::string& uri, const std::string& text,
                                 std::shared_ptr<const shop::Shop> shop) const;
    std::shared_ptr<const shop::Shop> shop_for(const std::filesystem::path& program) {
        return shop_files_.shop_for(program);
    }
    std::uint64_t programs_stamp() const { return programs_->stamp(); }
    /// A page about a warning, as a URI; empty when there is none.
    std::string page_of_warning(const std::string& id);
    /// Never used before, for a report that can be named again.
    std::string new_result_id() { return std::to_string(++last_result_id_); }
    void log(const std::string& line) const { options_.log(line); }
    /// A message the editor shows; level as in the protocol (1 error, 2 warning, 3 information).
    void show_message(int level, const std::string& message);

private:
    enum class Phase { before_initialize, running, after_shutdown };

    void register_lifecycle();
    void register_synchronisation();
    void register_workspace();
    void register_features();
    rpc::Content answer(const Feature& feature, const In& params, rpc::Call& call);
    const rpc::Error* gate(std::string_view method, bool is_request) const;

    Json initialize(const Json& params);
    Json capabilities() const;
    void initialized();
    void set_trace(const In& params);

    void did_open(const In& params);
    void did_change(const In& params);
    void did_close(const In& params);
    void did_save(const In& params);
    /// Brings the texts of open programs, but for one, to where the others find them.
    void share_texts(const OpenDocument* except);
    /// Documents whose called programs changed are checked again.
    void check_callers_again();
    void ask_to_refresh();
    void use_folders();
    void tell_lost(const OpenDocument& document);

    void ask_for_configuration();
    void use_settings(Settings settings);
    void did_change_configuration(const In& params);
    void did_change_watched_files(const In& params);
    void did_change_workspace_folders(const In& params);
    void check_everything_again();

    bool publish_one();
    /// `diagnostics` as JSON text.
    void tell_diagnostics(const std::string& uri, std::optional<std::int64_t> version,
                          std::string_view diagnostics);
    /// What is wrong in the shop files that were read, in those files.
    void publish_shop_problems();
    /// Registers what the settings ask for and takes back what they do not.
    void register_by_settings();
    void publish(OpenDocument& document);

    ServerOptions options_;
    rpc::Endpoint endpoint_;
    Phase phase_ = Phase::before_initialize;
    Client client_;
    Settings settings_;
    Settings default_settings_; ///< From the client's initialization options
    ShopFiles shop_files_;
    std::shared_ptr<features::ProgramFiles> programs_ = std::make_shared<features::ProgramFiles>();
    std::map<std::string, std::unique_ptr<OpenDocument>> documents_; ///< By normal URI
    ClosedPrograms closed_programs_;
    std::map<std::string, std::string> pages_;         ///< Warning id to URI
    std::map<std::string, std::string> shop_problems_; ///< What the client was told of each shop file, by URI
    std::uint64_t shop_stamp_told_ = 0;                ///< Of the shop files, then
    std::set<std::string> registered_;                 ///< Methods registered by settings
    std::uint64_t last_result_id_ = 0;
};

} // namespace turnwright::protocol
